// Broken demos: whatever a file says, every command ends in time and within a bound of memory, with an exit status of its
// own, and what it prints as JSON is JSON.

#include <gtest/gtest.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <random>

#include "cli/command_line.hpp"
#include "cli/exit_status.hpp"
#include "rigs/files.hpp"
#include "rigs/scale.hpp"

namespace ridepitch {
namespace {

namespace fs = std::filesystem;
using Random = std::mt19937_64;

// Of the processor, all threads together, so that a busy machine makes no difference; and of the clock, for what waits.
constexpr int seconds_allowed = 20;
constexpr unsigned clock_seconds_allowed = 120;
constexpr rlim_t bytes_allowed = rlim_t{1} << 30;

int below(Random& random, std::size_t count) {
  return count == 0 ? 0 : std::uniform_int_distribution<int>(0, static_cast<int>(count) - 1)(random);
}

struct Demo {
  std::string name;
  std::vector<std::string> lines;
};

std::vector<Demo> demos() {
  std::vector<Demo> all;
  for (const fs::directory_entry& entry : fs::directory_iterator(source_path("models")))
    if (entry.path().extension() == ".toml" && entry.path().stem() != "parts")
      all.push_back({entry.path().filename().string(), lines_of(text_of(entry.path()))});
  std::sort(all.begin(), all.end(), [](const Demo& a, const Demo& b) { return a.name < b.name; });
  return all;
}

bool belongs_to_a_number(char c) { return (c >= '0' && c <= '9') || c == '.' || c == '-'; }

/// Another number in the place of one of a line's numbers, near it or far out.
void change_a_number(std::string& line, Random& random) {
  std::vector<std::pair<std::size_t, std::size_t>> numbers;
  const std::size_t from = line.find('=');
  for (std::size_t i = from == std::string::npos ? line.size() : from; i < line.size(); ++i) {
    if (line[i] < '0' || line[i] > '9') continue;
    std::size_t begin = i, end = i;
    while (begin > 0 && belongs_to_a_number(line[begin - 1])) --begin;
    while (end < line.size() && belongs_to_a_number(line[end])) ++end;
    numbers.emplace_back(begin, end - begin);
    i = end;
  }
  if (numbers.empty()) return;
  const auto [at, length] = numbers[static_cast<std::size_t>(below(random, numbers.size()))];
  const double old = std::strtod(line.substr(at, length).c_str(), nullptr);
  const std::vector<std::string> others = {std::to_string(old + 1),
                                           std::to_string(old - 1),
                                           std::to_string(old + 0.5),
                                           std::to_string(-old),
                                           std::to_string(old * 1.0001),
                                           std::to_string(old * 3),
                                           "0",
                                           "1e-12",
                                           "99999",
                                           "1e300",
                                           "nan",
                                           std::to_string(old * 0.1)};
  // Small changes mostly: what is refused at once tests nothing but the reader.
  const std::size_t which = static_cast<std::size_t>(below(random, below(random, 4) == 0 ? others.size() : 6));
  line.replace(at, length, others[which]);
}

std::string mutant(const std::vector<Demo>& all, Random& random) {
  const Demo& demo = all[static_cast<std::size_t>(below(random, all.size()))];
  std::vector<std::string> lines = demo.lines;
  const int changes = 1 + below(random, 4);
  for (int i = 0; i < changes; ++i) {
    const auto at = static_cast<std::size_t>(below(random, lines.size()));
    const auto other = static_cast<std::size_t>(below(random, lines.size()));
    switch (below(random, 12)) {
      case 0:
        lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
        break;
      case 1:
        lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(at), lines[other]);
        break;
      case 2:
        std::swap(lines[at], lines[other]);
        break;
      default:
        change_a_number(lines[at], random);
    }
  }
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

/// Where a child stands, seen by its parent also after its death.
struct Standing {
  int mutant = 0;
  std::array<char, 64> command{};
};

/// What a command makes of a file; empty: all is well.
std::string fault_of(std::vector<std::string> words, bool json) {
  if (json) words.emplace_back("--json");
  const CommandLine line = parse_command_line(words);
  if (!line.options) return "the command line is refused: " + (line.problem ? line.problem->text : line.text);
  const Outcome outcome = line.command->run(*line.options, Ink{});
  const int status = outcome.status.value_or(exit_status(outcome.problems));
  if (status < 0 || status > 3) return "exit status " + std::to_string(status);
  for (const Problem& problem : outcome.problems)
    if (problem.text.empty() || problem.code.empty()) return "a problem without words";
  if (!json || !outcome.problems.empty()) return "";
  const auto parsed = nlohmann::json::parse(outcome.out, nullptr, false);
  return parsed.is_discarded() ? "no JSON: " + outcome.out.substr(0, 200) : "";
}

using Run = std::vector<std::string>;

/// The process dies by a signal when the time is over; 0: for ever.
void allow(int processor_s, unsigned clock_s) {
  const itimerval timer{{0, 0}, {processor_s, 0}};
  setitimer(ITIMER_VIRTUAL, &timer, nullptr);
  alarm(clock_s);
}

/// Runs commands on mutants in a child that may take no longer and no more than is allowed.
void try_mutants(std::uint64_t seed, int first, int count, const std::vector<Demo>& all, const std::vector<Run>& runs) {
  const Folder scratch;
  for (const char* each : {"parts.toml", "gravel-tug-prices.csv"})
    scratch.write(each, text_of(source_path(std::string("models/") + each)));
  auto* standing = static_cast<Standing*>(
      mmap(nullptr, sizeof(Standing), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0));
  ASSERT_NE(standing, MAP_FAILED);
  new (standing) Standing;
  const std::string path = scratch.file("mutant.toml");
  const pid_t child = fork();
  if (child == 0) {
    const rlimit memory{bytes_allowed, bytes_allowed};
    setrlimit(RLIMIT_DATA, &memory);
    for (int i = first; i < first + count; ++i) {
      Random random(seed + static_cast<std::uint64_t>(i));
      scratch.write("mutant.toml", mutant(all, random));
      standing->mutant = i;
      for (const Run& run : runs) {
        Run words = run;
        std::replace(words.begin(), words.end(), std::string("MODEL"), path);
        words.front().copy(standing->command.data(), standing->command.size() - 1);
        allow(seconds_allowed, clock_seconds_allowed);
        const std::string fault = fault_of(words, i % 2 == 0);
        allow(0, 0);
        if (fault.empty()) continue;
        fprintf(stderr, "%s: %s\n", run.front().c_str(), fault.c_str());
        _exit(1);
      }
    }
    _exit(0);
  }
  int status = 0;
  waitpid(child, &status, 0);
  const bool well = WIFEXITED(status) && WEXITSTATUS(status) == 0;
  EXPECT_TRUE(well) << standing->command.data() << (WIFSIGNALED(status) ? " died by signal " : " ended with ")
                    << (WIFSIGNALED(status) ? WTERMSIG(status) : WEXITSTATUS(status)) << " at mutant "
                    << standing->mutant << ":\n"
                    << text_of(path);
  munmap(standing, sizeof(Standing));
}

void try_in_parts(std::uint64_t seed, int count, const std::vector<Run>& runs) {
  const std::vector<Demo> all = demos();
  constexpr int together = 100;
  for (int first = 0; first < count; first += together)
    try_mutants(seed, first, std::min(together, count - first), all, runs);
}

/// A fifth of them each, so that they run beside each other.
class FifthOfMutants : public testing::TestWithParam<int> {};
INSTANTIATE_TEST_SUITE_P(OfTheDemos, FifthOfMutants, testing::Range(0, 5));

TEST_P(FifthOfMutants, EndsWellInCheckSolveSteerAndParts) {
  const int many = scaled(1) < 20 ? scaled(2000, 20) : 50'000;  // ./dev test --long
  try_in_parts(20261201 + 1'000'000 * static_cast<std::uint64_t>(GetParam()), many / 5,
               {{"check", "MODEL"}, {"solve", "MODEL"}, {"steer", "MODEL"}, {"parts", "--list", "coil", "MODEL"}});
}

TEST(Mutants, OfTheDemosEndWellInEveryCommand) {
  const std::string heights = source_path("models/readings/hauler-heights.csv");
  try_in_parts(20261202, scaled(50, 2),
               {{"rework", "MODEL", "--gone", "coil-65-firm", "--limit", "1"},
                {"swap", "MODEL", source_path("models/ore-hauler.toml")},
                {"tune", "MODEL", "--limit", "1"},
                {"nudge", "MODEL"},
                {"fit", heights, "--model", "MODEL"}});
}

}  // namespace
}  // namespace ridepitch
