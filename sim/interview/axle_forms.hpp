#pragma once
// The ways to build an axle as data: what is asked about each, and how its linkage is written down.

#include <string>
#include <vector>

#include "interview/answers.hpp"
#include "interview/question.hpp"

namespace ridepitch {

/// A letter of the pictures and the hole that it stands for.
struct Letter {
  char letter = ' ';
  std::string hole;  ///< "arm.push"
};

struct AxleForm {
  std::string kind;  ///< as "front_kind" has it: "arm-rocker"
  std::string fork = {},
              branch = {};  ///< where a kind has two forms: the question that tells, and the answer that means this one
  bool front_view = false;  ///< seen from the front, else from the side
  bool across = false;      ///< one linkage carries the wheels of both sides
  std::string usual_coil = {};      ///< empty: no coils carry it
  std::string height_point;         ///< what its height counts from, a point of the frame: "arm's pin"
  std::string length_point;         ///< what its place along the machine counts from
  std::vector<std::string> wheels;  ///< of one linkage
  std::vector<Letter> letters;
  std::vector<Question> questions;  ///< about its linkage; keys without the axle's name before them
  const char* about;                ///< a comment on the linkage and its axes
  const char* text;                 ///< of its bodies and all that joins them (linkage_text.cpp says how it is read)
};

const std::vector<AxleForm>& axle_forms();

/// How the wheels of an axle are hung, as far as it is answered.
const AxleForm& form_of(const Answers& answers, const std::string& axle);

/// Whether coils carry it: all but walking beams and axles that turn on a pin of the frame.
bool has_coils(const AxleForm& form);

/// Whether a question is asked about its linkage.
bool asks(const AxleForm& form, std::string_view key);

/// Whether its parts point forward or back from a pin of the frame, so that this must be asked.
bool has_a_direction(const AxleForm& form);

/// Wheels of one axle, both sides.
int wheels_of(const AxleForm& form);

/// The questions about the linkage, its coil and its tyres, keys with the axle's name before them.
std::vector<Question> questions_about_parts(const Answers& answers, const std::string& axle);

/// The ends of their keys, of all forms: "arm_axle".
std::vector<std::string> all_part_keys();

}  // namespace ridepitch
