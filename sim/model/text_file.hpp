#pragma once
// Bytes from a file, and the lines and columns of a text.

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace ridepitch {

/// No model comes near this; what is larger is refused before it is looked at.
inline constexpr std::size_t most_text_bytes = 4'000'000;

/// Number of code points of UTF-8 text.
int code_points(std::string_view text);

/// Byte at which a column (code points, from 1) of a line begins; its length if it is past the end.
std::size_t byte_of_column(std::string_view line, int column);

/// Column (code points, from 1) of a byte of a line.
int column_of_byte(std::string_view line, std::size_t byte);

/// A text seen as lines, counted from 1. Line ends (LF or CRLF) and a byte order mark are left out.
class TextLines {
 public:
  explicit TextLines(std::string_view text);

  int count() const { return static_cast<int>(begins.size()); }
  std::string_view line(int number) const;  ///< empty where there is no such line
  std::pair<int, int> line_and_column(std::size_t byte) const;

  /// The byte of the whole text at which a column of a line begins; that of the line's end if it is past that.
  std::size_t byte_at(int line, int column) const;

 private:
  std::string_view whole;
  std::vector<std::size_t> begins;
};

/// Bytes of the blank at a byte of a text, a no-break space included; 0 if there is none.
std::size_t blank_at(std::string_view text, std::size_t at);

/// Without blanks around it.
std::string_view without_blanks(std::string_view text);

/// A line without the comment at its end: from the first '#' on that does not stand in double quotes.
std::string_view without_comment(std::string_view line);

/// With small letters in place of the capitals of ASCII.
std::string small_letters(std::string_view text);

/// Puts one text in the place of another wherever that stands.
void replace_all(std::string& text, std::string_view from, std::string_view to);

/// First byte that is not UTF-8 (overlong forms and surrogates are not).
std::optional<std::size_t> first_not_utf8(std::string_view text);

/// First byte of UTF-8 text at which a control character stands: U+0000 to U+001F but tab and line ends, U+007F to U+009F,
/// and those that turn the direction of writing, U+202A to U+202E and U+2066 to U+2069. They move a terminal's cursor or
/// show a text that is not the one that is there.
std::optional<std::size_t> first_control_character(std::string_view text);

/// Whether a name would not be shown as it is on one line: it holds a control character, a tab or a line end.
bool has_control_character(std::string_view name);

/// The text with a replacement in place of what is not UTF-8, of control characters and of line ends, so that it can be
/// printed anywhere, on one line.
std::string printable(std::string_view text, std::string_view replacement = "\xEF\xBF\xBD");

struct FileText {
  std::string text;
  std::string why_not;  ///< "there is no such file"; empty if it was read
};

/// Reads a whole file, but not more than a little over most_text_bytes of it.
///
/// @param only_plain_files  refuses pipes and devices, which could wait for ever
FileText read_file_text(const std::string& path, bool only_plain_files);

}  // namespace ridepitch
