// Broken demos: whatever a file says, every command ends in time and within a bound of memory, with an exit status of its
// own, and what it prints as JSON is JSON.

#include <gtest/gtest.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#include <nlohmann/json.hpp>
#include <random>

#include "cli/command_line.hpp"
#include "cli/exit_status.hpp"
#include "rigs/files.hpp"
#include "rigs/mutants.hpp"
#include "rigs/scale.hpp"

namespace ridepitch {
namespace {

// Of the processor, all threads together, so that a busy machine makes no difference; and of the clock, for what waits.
constexpr int seconds_allowed = 20;
constexpr unsigned clock_seconds_allowed = 120;
constexpr rlim_t bytes_allowed = rlim_t{1} << 30;

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
void try_mutants(std::uint64_t seed, int first, int count, const std::vector<Run>& runs) {
  const Folder scratch;
  for (const char* each : {"parts.toml", "gravel-tug-prices.csv"})
    scratch.write(each, text_of(source_path(std::string("tests/models/") + each)));
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
      std::mt19937_64 random(seed + static_cast<std::uint64_t>(i));
      scratch.write("mutant.toml", mutant_of_a_demo(random));
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
  constexpr int together = 100;
  for (int first = 0; first < count; first += together)
    try_mutants(seed, first, std::min(together, count - first), runs);
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
                {"swap", "MODEL", source_path("tests/models/ore-hauler.toml")},
                {"tune", "MODEL", "--limit", "1"},
                {"nudge", "MODEL"},
                {"sheet", "MODEL", "--out", "/dev/null"},
                {"fit", heights, "--model", "MODEL"}});
}

}  // namespace
}  // namespace ridepitch
