#include "model/problem_lines.hpp"

#include "model/text_file.hpp"

namespace ridepitch {

void fill_in_lines(std::vector<Problem>& problems, const Model& model) {
  for (Problem& problem : problems) {
    const Place& place = problem.place;
    if (!problem.file_name.empty() || place.file < 0 || place.file >= static_cast<int>(model.files.size())) continue;
    problem.file_name = model.files[static_cast<std::size_t>(place.file)];
    if (place.line > 0 && problem.line_text.empty()) {
      const FileText file = read_file_text(problem.file_name, true);
      problem.line_text = TextLines(file.text).line(place.line);
    }
  }
}

}  // namespace ridepitch
