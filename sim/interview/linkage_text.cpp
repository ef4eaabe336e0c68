#include "interview/linkage_text.hpp"

#include <fmt/format.h>

#include <cmath>

#include "interview/axle_questions.hpp"
#include "interview/sections.hpp"
#include "model/model.hpp"

namespace ridepitch {
namespace {

/// The answers about one axle, and the lines that come of them.
struct Draft {
  const Answers& answers;
  std::string axle;
  std::string name;  ///< of the linkage
  std::vector<TextLine> lines;

  std::string key(std::string_view end) const { return fmt::format("{}_{}", axle, end); }
  double number(std::string_view end) const { return number_of(answers, key(end)).value_or(0); }
  Vec2 holes(std::string_view end) const { return holes_of(answers, key(end)); }
  std::string word(std::string_view end) const { return word_of(answers, key(end)); }

  void line(std::string text, const std::vector<std::string_view>& ends = {}) {
    TextLine out{std::move(text), {}};
    for (const std::string_view end : ends) out.keys.push_back(key(end));
    lines.push_back(std::move(out));
  }
  /// A header of a table of the linkage, after an empty line.
  void table(std::string_view what, const std::vector<std::string_view>& ends = {}) {
    line("");
    line(fmt::format("[linkage.{}.{}]", name, what), ends);
  }
};

constexpr double n_per_gram = gravity_m_per_s2 / 1000;

/// A coil of the catalogue, or the builder's own: Hooke's law through its two readings.
void add_coil(Draft& draft, const std::string& spring, const std::string& from, const std::string& to,
              const std::vector<std::string_view>& ends) {
  std::vector<std::string_view> blamed = ends;
  blamed.insert(blamed.end(), {"coil", "coils"});
  draft.table("spring." + spring, blamed);
  if (draft.word("coil") == "own") {
    const double free_mm = draft.number("coil_free_mm"), solid_mm = draft.number("coil_solid_mm");
    const double start_n = draft.number("coil_start_g") * n_per_gram,
                 solid_n = draft.number("coil_solid_g") * n_per_gram;
    draft.line("kind = \"coil\"", blamed);
    draft.line("free_mm = " + plain_number(free_mm), {"coil_free_mm", "coil_solid_mm"});
    draft.line("solid_mm = " + plain_number(solid_mm), {"coil_free_mm", "coil_solid_mm"});
    draft.line(
        fmt::format("rate_n_per_mm = {}  # {} g when solid", plain_number((solid_n - start_n) / (free_mm - solid_mm)),
                    plain_number(draft.number("coil_solid_g"))),
        {"coil_start_g", "coil_solid_g"});
    draft.line(fmt::format("preload_n = {}  # {} g to begin with", plain_number(start_n),
                           plain_number(draft.number("coil_start_g"))),
               {"coil_start_g"});
  } else {
    draft.line(fmt::format("part = \"{}\"", draft.word("coil")), {"coil"});
  }
  draft.line(fmt::format("from = \"{}\"", from), ends);
  draft.line(fmt::format("to = \"{}\"", to), ends);
  if (draft.number("coils") != 1) draft.line("count = " + plain_number(draft.number("coils")), {"coils"});
}

void add_wheel(Draft& draft, const std::string& wheel, const std::string& hole) {
  draft.table("wheel." + wheel, {"tyre"});
  draft.line(fmt::format("at = \"{}\"", hole));
  if (const std::optional<double> diameter_mm = number_of(draft.answers, draft.key("tyre"))) {
    draft.line("diameter_mm = " + plain_number(*diameter_mm), {"tyre"});
    draft.line("mass_g = " + plain_number(draft.number("tyre_g")), {"tyre_g"});
  } else {
    draft.line(fmt::format("part = \"{}\"", draft.word("tyre")), {"tyre"});
  }
}

void add_pin(Draft& draft, const std::string& one, const std::string& other, const std::string& name,
             const std::vector<std::string_view>& ends) {
  draft.line("");
  draft.line(fmt::format("[[linkage.{}.pin]]", draft.name), ends);
  draft.line(fmt::format("join = [\"{}\", \"{}\"]", one, other), ends);
  draft.line(fmt::format("name = \"{}\"", name));
}

/// @param about  one line of a comment or two
void begin(Draft& draft, std::string_view about, std::string_view plane) {
  const std::size_t end = about.find('\n');
  draft.line(fmt::format("# ---- {}", about.substr(0, end)));
  if (end != std::string_view::npos) draft.line(fmt::format("# {}", about.substr(end + 1)));
  draft.line("");
  draft.line(fmt::format("[linkage.{}]", draft.name), {"kind"});
  draft.line(fmt::format("plane = \"{}\"", plane));
  draft.table("body");
}

std::string hole(std::string_view name, const Vec2& place) { return fmt::format("{} = {}", name, plain_pair(place)); }

// ----------------------------------------------------------------------------------- kinds of axles

void add_arm(Draft& draft) {
  const Vec2 axle = draft.holes("arm_axle");
  begin(draft, "An arm with its coil straight on it. u counts holes towards the wheel, v up, from the arm's pin.",
        "side");
  draft.line(fmt::format("chassis = {{ holes = {{ arm = [0, 0], {} }} }}", hole("seat", draft.holes("seat"))),
             {"seat"});
  draft.line(fmt::format("arm = {{ holes = {{ root = [0, 0], {}, {} }}, near = {{ {} }} }}",
                         hole("coil", draft.holes("arm_coil")), hole("axle", axle), hole("axle", axle)),
             {"arm_axle", "arm_coil"});
  add_pin(draft, "chassis.arm", "arm.root", "arm pin", {"arm_axle"});
  add_coil(draft, "main", "arm.coil", "chassis.seat", {"arm_coil", "seat"});
  add_wheel(draft, "hub", "arm.axle");
}

/// Turned so that the leg towards +u points where the builder says that it does.
Vec2 turned(const Vec2& p, std::string_view points) {
  if (points == "away") return -p;
  if (points == "up") return {-p.y(), p.x()};
  if (points == "down") return {p.y(), -p.x()};
  return p;
}

void add_arm_and_rocker(Draft& draft) {
  const Vec2 axle = draft.holes("arm_axle"), pin = draft.holes("rocker_pin"), coil = draft.holes("rocker_coil");
  const Vec2 rod(draft.number("rocker_rod"), 0);
  const std::string points = draft.word("rocker_points");
  begin(
      draft,
      "An arm, a rod, a rocker and a coil. u counts holes towards the wheel, v up, from the arm's pin; on the rocker,\n"
      "along the leg that the rod is on.",
      "side");
  draft.line(fmt::format("chassis = {{ holes = {{ arm = [0, 0], {}, {} }} }}", hole("rocker", pin),
                         hole("seat", draft.holes("seat"))),
             {"rocker_pin", "seat"});
  draft.line(fmt::format("arm = {{ holes = {{ root = [0, 0], {}, {} }}, near = {{ {} }} }}",
                         hole("push", draft.holes("arm_rod")), hole("axle", axle), hole("axle", axle)),
             {"arm_axle", "arm_rod"});
  draft.line(fmt::format("rocker = {{ holes = {{ root = [0, 0], {}, {} }}, near = {{ {}, {} }} }}", hole("push", rod),
                         hole("coil", coil), hole("push", pin + turned(rod, points)),
                         hole("coil", pin + turned(coil, points))),
             {"rocker_rod", "rocker_coil", "rocker_points"});
  add_pin(draft, "chassis.arm", "arm.root", "arm pin", {"arm_axle"});
  add_pin(draft, "chassis.rocker", "rocker.root", "rocker pin", {"rocker_pin"});
  draft.table("rod.pushrod", {"rod", "arm_rod", "rocker_rod", "rocker_pin"});
  draft.line("from = \"arm.push\"");
  draft.line("to = \"rocker.push\"");
  draft.line("length = " + plain_number(draft.number("rod")), {"rod", "arm_rod", "rocker_rod", "rocker_pin"});
  add_coil(draft, "main", "rocker.coil", "chassis.seat", {"seat", "rocker_coil", "rocker_pin"});
  add_wheel(draft, "hub", "arm.axle");
}

void add_beam_on_arm(Draft& draft) {
  const Vec2 trunnion = draft.holes("arm_axle"), wheels = draft.holes("beam_wheels");
  const Vec2 inner(-wheels[0], 0), outer(wheels[1], 0);
  begin(draft,
        "Two wheels on a walking beam that turns on the end of an arm. u counts holes away from the arm's pin, v up.",
        "side");
  draft.line(fmt::format("chassis = {{ holes = {{ arm = [0, 0], {} }} }}", hole("seat", draft.holes("seat"))),
             {"seat"});
  draft.line(fmt::format("arm = {{ holes = {{ root = [0, 0], {}, {} }}, near = {{ {} }} }}",
                         hole("coil", draft.holes("arm_coil")), hole("trunnion", trunnion), hole("trunnion", trunnion)),
             {"arm_axle", "arm_coil"});
  draft.line(
      fmt::format("beam = {{ holes = {{ middle = [0, 0], {}, {} }}, near = {{ {}, {} }} }}", hole("inner", inner),
                  hole("outer", outer), hole("inner", trunnion + inner), hole("outer", trunnion + outer)),
      {"beam_wheels"});
  add_pin(draft, "chassis.arm", "arm.root", "arm pin", {"arm_axle"});
  add_pin(draft, "arm.trunnion", "beam.middle", "beam pin", {"arm_axle"});
  add_coil(draft, "main", "arm.coil", "chassis.seat", {"arm_coil", "seat"});
  add_wheel(draft, "inner", "beam.inner");
  add_wheel(draft, "outer", "beam.outer");
}

void add_beam_on_frame(Draft& draft) {
  const Vec2 wheels = draft.holes("beam_wheels"), fore(wheels[0], 0), aft(-wheels[1], 0);
  begin(draft, "Two wheels on a walking beam that turns on a pin of the frame. u counts holes forward, v up.", "side");
  draft.line("chassis = { holes = { beam = [0, 0] } }");
  draft.line(fmt::format("beam = {{ holes = {{ middle = [0, 0], {}, {} }}, near = {{ {}, {} }} }}", hole("fore", fore),
                         hole("aft", aft), hole("fore", fore), hole("aft", aft)),
             {"beam_wheels"});
  add_pin(draft, "chassis.beam", "beam.middle", "beam pin", {"beam_wheels"});
  add_wheel(draft, "fore", "beam.fore");
  add_wheel(draft, "aft", "beam.aft");
}

void add_wishbones(Draft& draft) {
  const Vec2 pin = draft.holes("upper_pin"), top = draft.holes("upright_top"), hub = draft.holes("hub");
  const Vec2 lower(draft.number("lower"), 0), upper(draft.number("upper"), 0);
  begin(draft,
        "Double wishbones, seen from the front, left side. u counts holes outwards, v up, from the lower "
        "wishbone's\npin; on the upright from its lower end.",
        "front");
  draft.line(fmt::format("chassis = {{ holes = {{ low = [0, 0], {}, {} }} }}", hole("high", pin),
                         hole("seat", draft.holes("seat"))),
             {"upper_pin", "seat"});
  draft.line(fmt::format("lower = {{ holes = {{ root = [0, 0], {}, {} }}, near = {{ {} }} }}",
                         hole("coil", draft.holes("arm_coil")), hole("ball", lower), hole("ball", lower)),
             {"lower", "arm_coil"});
  draft.line(fmt::format("upper = {{ holes = {{ root = [0, 0], {} }}, near = {{ {} }} }}", hole("ball", upper),
                         hole("ball", pin + upper)),
             {"upper"});
  draft.line(fmt::format("upright = {{ holes = {{ low = [0, 0], {}, {} }}, near = {{ {}, {} }} }}", hole("high", top),
                         hole("hub", hub), hole("high", lower + top), hole("hub", lower + hub)),
             {"upright_top", "hub"});
  const std::vector<std::string_view> loop = {"lower", "upper_pin", "upper", "upright_top"};
  add_pin(draft, "chassis.low", "lower.root", "lower pin", loop);
  add_pin(draft, "chassis.high", "upper.root", "upper pin", loop);
  add_pin(draft, "lower.ball", "upright.low", "lower end", loop);
  add_pin(draft, "upper.ball", "upright.high", "upper end", loop);
  add_coil(draft, "main", "lower.coil", "chassis.seat", {"arm_coil", "seat"});
  add_wheel(draft, "hub", "upright.hub");
}

double half_track(const Draft& draft) {
  return draft.number("track_mm") / 2 / number_of(draft.answers, "hole_pitch_mm").value_or(8);
}

void add_axle_between_coils(Draft& draft) {
  const Vec2 coil = draft.holes("arm_coil"), left(half_track(draft), 0), seat(draft.number("seat_out"), 0);
  const Vec2 other_side(-1, 1);
  // The coils hang down from the frame at about their length; how far exactly does not matter to a hint.
  const double free_holes = 7;
  const Vec2 below(0, -free_holes - coil.y());
  begin(draft,
        "An axle between two coils, guided at its middle, seen from the front. u counts holes to the left, v "
        "up,\nfrom the middle between the coils' ends on the frame.",
        "front");
  draft.line(fmt::format("chassis = {{ holes = {{ guide = [0, 0], {}, {} }} }}", hole("seat-left", seat),
                         hole("seat-right", -seat)),
             {"seat_out"});
  draft.table("body.axle", {"track_mm", "arm_coil"});
  draft.line(fmt::format("holes = {{ middle = [0, 0], {}, {}, {}, {} }}", hole("left", left), hole("right", -left),
                         hole("coil-left", coil), hole("coil-right", coil.cwiseProduct(other_side))),
             {"track_mm", "arm_coil"});
  draft.line(fmt::format("near = {{ {}, {} }}", hole("left", left + below), hole("right", -left + below)),
             {"track_mm"});
  draft.table("slide.guide", {"held"});
  draft.line("hole = \"axle.middle\"");
  draft.line("through = \"chassis.guide\"");
  draft.line("along = [0, 1]");
  draft.line("turns = true");
  add_coil(draft, "left", "axle.coil-left", "chassis.seat-left", {"arm_coil", "seat_out"});
  add_coil(draft, "right", "axle.coil-right", "chassis.seat-right", {"arm_coil", "seat_out"});
  add_wheel(draft, "left", "axle.left");
  add_wheel(draft, "right", "axle.right");
}

void add_axle_on_pivot(Draft& draft) {
  const Vec2 left(half_track(draft), -draft.number("pivot_up")), right(-left.x(), left.y());
  begin(draft, "An axle that rocks on a pin of the frame, seen from the front. u counts holes to the left, v up.",
        "front");
  draft.line("chassis = { holes = { pivot = [0, 0] } }");
  draft.line(fmt::format("axle = {{ holes = {{ middle = [0, 0], {}, {} }}, near = {{ {}, {} }} }}", hole("left", left),
                         hole("right", right), hole("left", left), hole("right", right)),
             {"track_mm", "pivot_up"});
  add_pin(draft, "chassis.pivot", "axle.middle", "axle pivot", {"pivot_up"});
  add_wheel(draft, "left", "axle.left");
  add_wheel(draft, "right", "axle.right");
}

}  // namespace

std::string plain_number(double value) {
  const double most_decimals = 1e6;
  return fmt::format("{}", std::round(value * most_decimals) / most_decimals + 0.0);
}

std::string plain_pair(const Vec2& pair) {
  return fmt::format("[{}, {}]", plain_number(pair.x()), plain_number(pair.y()));
}

std::vector<std::string> wheel_names(const Answers& answers, const std::string& axle) {
  switch (kind_of_axle(answers, axle)) {
    case AxleKind::beam:
      if (has_coils(answers, axle)) return {"inner", "outer"};
      return {"fore", "aft"};
    case AxleKind::live_axle:
      return {"left", "right"};
    case AxleKind::arm:
    case AxleKind::arm_rocker:
    case AxleKind::wishbones:
      break;
  }
  return {"hub"};
}

std::vector<Letter> letters_of(const Answers& answers, const std::string& axle) {
  const bool coils = has_coils(answers, axle);
  switch (kind_of_axle(answers, axle)) {
    case AxleKind::arm:
      return {{'P', "chassis.arm"}, {'X', "arm.axle"}, {'C', "arm.coil"}, {'S', "chassis.seat"}};
    case AxleKind::arm_rocker:
      return {{'P', "chassis.arm"},    {'X', "arm.axle"},    {'A', "arm.push"},    {'B', "rocker.push"},
              {'R', "chassis.rocker"}, {'C', "rocker.coil"}, {'S', "chassis.seat"}};
    case AxleKind::beam:
      if (!coils) return {{'T', "chassis.beam"}};
      return {{'P', "chassis.arm"}, {'T', "arm.trunnion"}, {'C', "arm.coil"}, {'S', "chassis.seat"}};
    case AxleKind::wishbones:
      return {{'P', "chassis.low"}, {'Q', "chassis.high"}, {'D', "lower.ball"},  {'U', "upper.ball"},
              {'X', "upright.hub"}, {'C', "lower.coil"},   {'S', "chassis.seat"}};
    case AxleKind::live_axle:
      break;
  }
  if (!coils) return {{'M', "chassis.pivot"}};
  return {{'M', "axle.middle"}, {'C', "axle.coil-left"}, {'S', "chassis.seat-left"}};
}

std::vector<TextLine> linkage_lines(const Answers& answers, const std::string& axle, const std::string& name) {
  Draft draft{answers, axle, name, {}};
  const bool coils = has_coils(answers, axle);
  switch (kind_of_axle(answers, axle)) {
    case AxleKind::arm:
      add_arm(draft);
      break;
    case AxleKind::arm_rocker:
      add_arm_and_rocker(draft);
      break;
    case AxleKind::beam:
      coils ? add_beam_on_arm(draft) : add_beam_on_frame(draft);
      break;
    case AxleKind::wishbones:
      add_wishbones(draft);
      break;
    case AxleKind::live_axle:
      coils ? add_axle_between_coils(draft) : add_axle_on_pivot(draft);
      break;
  }
  return std::move(draft.lines);
}

}  // namespace ridepitch
