// `new`: answers from a file or from a terminal, a model written from them, and what it says.

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include "cli/commands.hpp"
#include "cli/exit_status.hpp"
#include "cli/output.hpp"
#include "cli/solve_text.hpp"
#include "cli/terminal.hpp"
#include "interview/answers_file.hpp"
#include "interview/model_text.hpp"
#include "interview/remarks.hpp"
#include "interview/sections.hpp"
#include "interview/trial.hpp"
#include "model/text_file.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

/// What --kind answers: how all wheels are hung; walking beams carry the rear, behind arms in front.
Answers answered_by_kind(const std::string& kind) {
  if (kind.empty()) return {};
  if (kind == "beam") return {{"front_kind", "arm"}, {"rear_kind", "beam"}};
  return {{"front_kind", kind}};
}

/// Each axle's parts as they go together.
std::string drawings(const Answers& answers, const Ink& ink) {
  std::string text;
  for (const std::string& axle : axle_names(answers)) {
    if (parts_of(answers, axle) != axle) continue;
    text +=
        "\n" + ink.heading(fmt::format("The {} wheels", axle)) + ", to scale (# bodies, : rods, % coils, . tyres)\n\n";
    for (const std::string& row : try_axle(answers, axle).picture) text += "    " + row + "\n";
  }
  return text;
}

/// A model that is written: it is read back and solved, so that what is shown is what the file says.
///
/// @param drawn  drawings of the axles, or nothing where the builder has seen them
Outcome show(const Options& options, const std::string& path, const Answers& answers,
             const std::vector<std::string>& assumed, const std::string& drawn, const Ink& ink) {
  SolvedModels models = solve_models({path}, SolveOptions{});
  if (models.solved.empty()) return {"", std::move(models.problems)};
  Solved& solved = models.solved.front();
  add_further_findings(solved);
  if (options.json) return {.out = new_json(solved, path, assumed), .written = path};
  std::string text = wrapped(fmt::format("Written: {}", shown(path)), 0) + "\n";
  for (const std::string& remark : remarks(answers, solved.model, solved.solution, assumed))
    text += wrapped(shown(remark), 0) + "\n";
  return {.out = text + drawn + "\n" + solve_text(solved, {ink, options.terse}), .written = path};
}

// ------------------------------------------------------------------------------ answers from a file

Outcome from_file(const Options& options, const Answers& given, const Ink& ink) {
  const bool standard_input = options.new_model.answers == "-";
  // A closed one was opened for writing only: prepare_standard_streams().
  if (standard_input && (fcntl(STDIN_FILENO, F_GETFL) & O_ACCMODE) == O_WRONLY)
    return {"",
            {{.code = "no-input",
              .text = "standard input is closed: there are no answers to read",
              .hint = "ridepitch new --answers FILE, or pipe the answers in; docs/first-file.md shows such a file"}}};
  const std::string path = standard_input ? "/dev/stdin" : options.new_model.answers;
  const FileText file = read_file_text(path, false);
  if (!file.why_not.empty()) {
    return {"",
            {{.code = "not-readable",
              .text = "the answers can't be read: " + file.why_not,
              .file_name = options.new_model.answers}}};
  }
  FileAnswers read = read_answers(file.text, standard_input ? "standard input" : path, given);
  if (!read.problems.empty()) return {"", std::move(read.problems)};

  const std::string target =
      options.models.empty() ? file_name_for(word_of(read.answers, "name")) : options.models.front();
  if (auto failed = write_output(target, joined_lines(model_lines(read.answers)), {path}, options.overwrite))
    return {"", {std::move(*failed)}};
  return show(options, target, read.answers, read.assumed, drawings(read.answers, ink), ink);
}

// --------------------------------------------------------------------------- answers from a terminal

/// "hauler.toml" for "hauler".
std::string with_ending(const std::string& path) {
  const std::size_t slash = path.find_last_of('/');
  const bool has_ending = path.find('.', slash == std::string::npos ? 0 : slash) != std::string::npos;
  return has_ending ? path : path + ".toml";
}

Question file_question(const std::string& usual) {
  Question question;
  question.key = "FILE";
  question.ask = "The model's file";
  question.form = Form::text;
  question.usual = usual;
  return question;
}

Question overwrite_question(const std::string& path) {
  Question question;
  question.ask = fmt::format("There is a file '{}' already. Replace it", shown(path));
  question.form = Form::choice;
  question.choices = {{"yes", "replace it"}, {"no", "take another name"}};
  question.usual = "no";
  return question;
}

/// Asks for a name until the model is written. @returns its path, or nothing if the input ended
std::optional<std::string> write_somewhere(const Dialogue& dialogue, const Options& options, const Answers& answers) {
  std::string path = options.models.empty() ? "" : options.models.front();
  while (true) {
    bool replaces = options.overwrite;
    if (path.empty()) {
      const std::optional<std::string> typed =
          ask_one(dialogue, file_question(file_name_for(word_of(answers, "name"))));
      if (!typed) return std::nullopt;
      path = with_ending(*typed);
    }
    if (would_replace(path) && !replaces) {
      const std::optional<std::string> replace = ask_one(dialogue, overwrite_question(path));
      if (!replace) return std::nullopt;
      if (*replace == "no") {
        path.clear();
        continue;
      }
      replaces = true;
    }
    const std::string text = joined_lines(model_lines(answers));
    const std::optional<Problem> failed = replaces ? write_file(path, text) : create_file(path, text);
    if (!failed) return path;
    dialogue.say(Saying::complaint, failed->text + ".");
    path.clear();
  }
}

/// The input ended, or was ended.
Outcome nothing_written(int descriptor) {
  if (Interruptible::interrupted()) {
    write_all(descriptor, "\nStopped. Nothing was written.\n");
    return {.out = "", .problems = {}, .status = exit_interrupted};
  }
  write_all(descriptor, "\n");
  return {"",
          {{.code = "input-ended",
            .text = "the answers ended before the last question; nothing was written",
            .hint = "answers can be kept in a file: ridepitch new --answers FILE"}}};
}

Outcome from_terminal(const Options& options, const Answers& given, const Ink& ink) {
  const int descriptor = terminal_for_questions(options.json);
  if (descriptor < 0) {
    return {"",
            {{.code = "no-terminal",
              .text = "there is no terminal to ask at, and no answers are given",
              .hint = "ridepitch new --answers FILE; docs/first-file.md shows such a file"}}};
  }
  const Interruptible interruptible;
  const Dialogue dialogue = terminal_dialogue(descriptor, ink_for(descriptor));
  const std::optional<Answers> answers = ask_all(dialogue, given);
  if (!answers) return nothing_written(descriptor);
  const std::optional<std::string> path = write_somewhere(dialogue, options, *answers);
  if (!path) return nothing_written(descriptor);
  write_all(descriptor, "\n");
  return show(options, *path, *answers, {}, "", ink);
}

}  // namespace

Outcome run_new(const Options& options, const Ink& ink) {
  const Answers given = answered_by_kind(options.new_model.kind);
  return options.new_model.answers.empty() ? from_terminal(options, given, ink) : from_file(options, given, ink);
}

}  // namespace ridepitch
