#include "model/text_file.hpp"

#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <filesystem>
#include <system_error>

#include "model/descriptor.hpp"

namespace ridepitch {
namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
constexpr std::string_view no_break_space = "\xC2\xA0";

bool is_continuation(char c) { return (static_cast<unsigned char>(c) & 0xC0) == 0x80; }

/// Length of the UTF-8 sequence that a text begins with; 0 if it is none. The Unicode Standard, table 3-7.
std::size_t sequence_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
  const auto follows = [&](std::size_t i, unsigned low, unsigned high) { return byte(i) >= low && byte(i) <= high; };
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  if (first >= 0xC2 && first <= 0xDF) return follows(1, 0x80, 0xBF) ? 2 : 0;
  if (first >= 0xE0 && first <= 0xEF) {
    const unsigned low = first == 0xE0 ? 0xA0 : 0x80, high = first == 0xED ? 0x9F : 0xBF;
    return follows(1, low, high) && follows(2, 0x80, 0xBF) ? 3 : 0;
  }
  if (first >= 0xF0 && first <= 0xF4) {
    const unsigned low = first == 0xF0 ? 0x90 : 0x80, high = first == 0xF4 ? 0x8F : 0xBF;
    return follows(1, low, high) && follows(2, 0x80, 0xBF) && follows(3, 0x80, 0xBF) ? 4 : 0;
  }
  return 0;
}

/// How long a pipe may be without its writer, whom the shell may just have started.
constexpr int writer_wait_ms = 2000, writer_look_ms = 20;

/// Waits a little for a pipe's writer. @returns false: it has come and gone
bool wait_for_writer(int descriptor) {
  pollfd end{descriptor, POLLIN, 0};
  if (poll(&end, 1, 0) > 0 && (end.revents & POLLHUP)) return false;
  usleep(1000 * writer_look_ms);
  return true;
}

FileText refused(std::string why) { return {{}, std::move(why)}; }

std::string reason(int error) {
  if (error == ENOENT || error == ENOTDIR) return "there is no such file";
  if (error == EACCES || error == EPERM) return "there is no permission to read it";
  if (error == EISDIR) return "it is a folder";
  return std::generic_category().message(error);
}

}  // namespace

int code_points(std::string_view text) {
  return static_cast<int>(std::count_if(text.begin(), text.end(), [](char c) { return !is_continuation(c); }));
}

std::size_t byte_of_column(std::string_view line, int column) {
  std::size_t byte = 0;
  for (int passed = 1; passed < column && byte < line.size(); ++passed) {
    ++byte;
    while (byte < line.size() && is_continuation(line[byte])) ++byte;
  }
  return byte;
}

int column_of_byte(std::string_view line, std::size_t byte) { return code_points(line.substr(0, byte)) + 1; }

TextLines::TextLines(std::string_view text) : whole(text) {
  std::size_t begin = text.substr(0, 3) == byte_order_mark ? 3 : 0;
  begins.push_back(begin);
  while ((begin = text.find('\n', begin)) != std::string_view::npos) begins.push_back(++begin);
}

std::string_view TextLines::line(int number) const {
  if (number < 1 || number > count()) return {};
  const std::size_t begin = begins[static_cast<std::size_t>(number - 1)];
  std::string_view line = whole.substr(begin, whole.find('\n', begin) - begin);
  if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  return line;
}

std::pair<int, int> TextLines::line_and_column(std::size_t byte) const {
  const auto after = std::upper_bound(begins.begin(), begins.end(), byte);
  if (after == begins.begin()) return {1, 1};
  const std::size_t begin = *(after - 1);
  return {static_cast<int>(after - begins.begin()), column_of_byte(whole.substr(begin), byte - begin)};
}

std::size_t TextLines::byte_at(int number, int column) const {
  if (number < 1 || number > count()) return whole.size();
  return begins[static_cast<std::size_t>(number - 1)] + byte_of_column(line(number), column);
}

std::size_t blank_at(std::string_view text, std::size_t at) {
  if (at < text.size() && (text[at] == ' ' || text[at] == '\t' || text[at] == '\r')) return 1;
  return text.substr(std::min(at, text.size())).starts_with(no_break_space) ? no_break_space.size() : 0;
}

std::string_view without_blanks(std::string_view text) {
  while (const std::size_t blank = blank_at(text, 0)) text.remove_prefix(blank);
  while (!text.empty()) {
    const std::size_t width = text.ends_with(no_break_space) ? no_break_space.size() : 1;
    if (blank_at(text, text.size() - width) != width) break;
    text.remove_suffix(width);
  }
  return text;
}

std::string_view without_comment(std::string_view line) {
  bool in_quotes = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (line[i] == '"') in_quotes = !in_quotes;
    if (line[i] == '#' && !in_quotes) return line.substr(0, i);
  }
  return line;
}

std::string small_letters(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

void replace_all(std::string& text, std::string_view from, std::string_view to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
    text.replace(at, from.size(), to);
}

std::optional<std::size_t> first_not_utf8(std::string_view text) {
  std::size_t i = 0;
  while (i < text.size()) {
    const std::size_t length = sequence_length(text.substr(i));
    if (length == 0) return i;
    i += length;
  }
  return std::nullopt;
}

std::optional<std::size_t> first_control_character(std::string_view text) {
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const unsigned first = byte(i), second = byte(i + 1), third = byte(i + 2);
    const bool c0 = (first < 0x20 && first != '\t' && first != '\n' && first != '\r') || first == 0x7F;
    const bool c1 = first == 0xC2 && second >= 0x80 && second <= 0x9F;
    const bool turns = first == 0xE2 && ((second == 0x80 && third >= 0xAA && third <= 0xAE) ||
                                         (second == 0x81 && third >= 0xA6 && third <= 0xA9));
    if (c0 || c1 || turns) return i;
  }
  return std::nullopt;
}

bool has_control_character(std::string_view name) {
  return first_control_character(name) || name.find_first_of("\t\r\n") != std::string_view::npos;
}

std::string printable(std::string_view text, std::string_view replacement) {
  std::string result;
  while (!text.empty()) {
    const std::string_view sound = text.substr(0, first_not_utf8(text).value_or(text.size()));
    const std::size_t control =
        std::min(first_control_character(sound).value_or(sound.size()), sound.find_first_of("\r\n"));
    const std::size_t good = std::min(control, sound.size());
    result += text.substr(0, good);
    if (good == text.size()) break;
    result += replacement;
    text.remove_prefix(good + (good < sound.size() ? sequence_length(text.substr(good)) : 1));
  }
  return result;
}

FileText read_file_text(const std::string& path, bool only_plain_files) {
  namespace fs = std::filesystem;
  if (path.find('\0') != std::string::npos) return refused("there is no such file");
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (error) return refused(reason(error.value()));
  if (fs::is_directory(status)) return refused("it is a folder");
  if (only_plain_files && !fs::is_regular_file(status)) return refused("it is not a plain file");

  // Else the opening of a pipe waits for its writer, for ever if there is none.
  const bool pipe = fs::is_fifo(status);
  const Descriptor file(open(path.c_str(), O_RDONLY | O_NOCTTY | O_CLOEXEC | (pipe ? O_NONBLOCK : 0)));
  if (file.number < 0) return refused(reason(errno));
  FileText result;
  std::array<char, 65536> buffer;
  int waits_left = pipe ? writer_wait_ms / writer_look_ms : 0;
  while (result.text.size() <= most_text_bytes) {
    const ssize_t got = read(file.number, buffer.data(), buffer.size());
    if (got == 0 && result.text.empty() && waits_left-- > 0 && wait_for_writer(file.number)) continue;
    if (got == 0) break;
    if (got > 0) {
      result.text.append(buffer.data(), static_cast<std::size_t>(got));
    } else if (errno == EAGAIN) {
      pollfd ready{file.number, POLLIN, 0};
      poll(&ready, 1, -1);
    } else if (errno != EINTR) {
      return refused(reason(errno));
    }
  }
  if (pipe && result.text.empty()) return refused("it is a pipe that nothing is written to");
  return result;
}

}  // namespace ridepitch
