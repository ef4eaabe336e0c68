#include "model/model_words.hpp"

#include <fmt/format.h>

#include "model/tune.hpp"

namespace ridepitch {
namespace {

// In a struct, so that each finds all others. Twelve digits: what a change gives in mm and the file in modules may differ by rounding.
struct Say {
  static std::string words(double value) { return fmt::format("{:.12g}", value + 0.0); }
  static std::string words(int value) { return fmt::format("{}", value); }
  static std::string words(bool value) { return value ? "yes" : "no"; }
  static std::string words(const std::string& value) { return "'" + value + "'"; }
  static std::string words(const Vec2& value) { return fmt::format("({}, {})", words(value.x()), words(value.y())); }
  static std::string words(const Vec3& value) {
    return fmt::format("({}, {}, {})", words(value.x()), words(value.y()), words(value.z()));
  }
  static std::string words(const HoleRef& value) { return fmt::format("{}.{}", value.body, value.hole); }
  static std::string words(const WheelRef& value) { return fmt::format("{}/{}", value.corner, value.wheel); }

  template <class Value>
  static std::string words(const std::array<Value, 2>& pair) {
    return fmt::format("<{} {}>", words(pair[0]), words(pair[1]));
  }

  static std::string words(const BodyRef& value) { return fmt::format("{}/{}", value.corner, value.body); }
  static std::string words(const Coil& c) {
    return fmt::format("coil {} {} {} {} {} {} {} {} {}", words(c.free_mm), words(c.solid_mm), words(c.rate_n_per_mm),
                       words(c.preload_n), words(c.law), words(c.friction_n), words(c.damping_n_s_per_mm),
                       words(c.diameter_mm), words(c.mass_g));
  }
  static std::string words(const Band& b) {
    return fmt::format("band {} {} {} {} {}", words(b.free_mm), words(b.rate_n_per_mm), words(b.law),
                       words(b.damping_n_s_per_mm), words(b.mass_g));
  }
  static std::string words(const Torsion& t) {
    return fmt::format("torsion {} {} {} {} {} {}", t.from, t.to, words(t.rate_n_mm_per_rad), words(t.free_rad),
                       words(t.min_rad), words(t.max_rad));
  }
  static std::string words(const Spring& s) {
    const std::string law = std::visit([](const auto& data) { return words(data); }, s.data);
    return fmt::format("spring {} {} {} {} {} {} {} {}\n", words(s.name), law, words(s.from), words(s.to), s.count,
                       words(s.across_mm), words(s.part), words(s.layer));
  }
  static std::string words(const Hole& h) { return fmt::format("{} {}", words(h.name), words(h.p_B)); }
  static std::string words(const Near& n) { return fmt::format("{} {}", n.hole, words(n.p_C)); }
  static std::string words(const Body& b) {
    return fmt::format("body {} {} {} {} {} {}\n", words(b.name), words(b.holes), words(b.near), words(b.part),
                       words(b.layer), words(b.shape));
  }
  static std::string words(const Pin& p) { return fmt::format("pin {} {}\n", words(p.name), words(p.holes)); }
  static std::string words(const Rod& r) {
    return fmt::format("rod {} {} {} {} {} {} {} {}\n", words(r.name), words(r.from), words(r.to), words(r.length_mm),
                       words(r.across_mm), words(r.height_mm), words(r.part), words(r.layer));
  }
  static std::string words(const Limit& l) {
    return fmt::format("limit {} {} {} {} {}\n", words(l.name), words(l.from), words(l.to), words(l.min_mm),
                       words(l.max_mm));
  }
  static std::string words(const Slide& s) {
    return fmt::format("slide {} {} {} {} {}\n", words(s.name), words(s.hole), words(s.through), words(s.along),
                       words(s.stroke_mm));
  }
  static std::string words(const Wheel& w) {
    return fmt::format("wheel {} {} {} {} {} {} {} {} {}\n", words(w.name), words(w.at), words(w.part), words(w.ahead),
                       words(w.same_as), w.tyre.diameter_mm, w.tyre.width_mm, w.tyre.mass_g,
                       words(w.tyre.rate_n_per_mm));
  }
  static std::string words(const Linkage& l) {
    return fmt::format("linkage {} {}\n{}{}{}{}{}{}{}", words(l.name), static_cast<int>(l.plane), words(l.bodies),
                       words(l.pins), words(l.rods), words(l.springs), words(l.limits), words(l.slides),
                       words(l.wheels));
  }
  static std::string words(const Mass& m) {
    return fmt::format("mass {} {} {} {}\n", words(m.name), words(m.kg), words(m.at_mm), words(m.size_mm));
  }
  static std::string words(const Clearance& c) {
    return fmt::format("clearance {} {}\n", words(c.name), words(c.at_mm));
  }
  static std::string words(const Measured& m) {
    return fmt::format("measured {} {}\n", m.corner, words(m.ride_height_mm));
  }
  static std::string words(const Weighed& w) { return fmt::format("weighed {} {}\n", words(w.wheels), words(w.kg)); }
  static std::string words(const Bar& b) {
    return fmt::format("bar {} {} {} {}\n", words(b.name), words(b.ends), words(b.rate_n_mm_per_rad),
                       words(b.free_rad));
  }
  static std::string words(const BillLine& b) {
    return fmt::format("bill {} {} {}\n", words(b.part), b.count, words(b.where));
  }
  static std::string words(const Corner& c) {
    return fmt::format("corner {} {} {} {} {} {} {}\n", words(c.name), c.linkage, words(c.at_mm), words(c.flip),
                       words(c.unsprung_kg), words(c.load_n), words(c.mirrored));
  }
  static std::string words(const Vary& v) {
    std::string what;
    if (const auto* hole = std::get_if<VaryHole>(&v.what))
      what = fmt::format("hole {} {} {}", hole->body, hole->hole, words(hole->at_mm));
    if (const auto* rod = std::get_if<VaryRod>(&v.what))
      what = fmt::format("rod {} {}", rod->rod, words(rod->length_mm));
    if (const auto* spring = std::get_if<VarySpring>(&v.what))
      what = fmt::format("spring {} {} {}", spring->spring, words(spring->parts), words(spring->counts));
    return fmt::format("vary {} {}\n", v.linkage, what);
  }
  static std::string words(const Want& w) {
    return fmt::format("want {} {} {} {} {}\n", words(w.quantity), words(w.of), words(w.value), words(w.tolerance),
                       words(w.weight));
  }
  static std::string words(const Need& n) {
    return fmt::format("need {} {} {} {}\n", words(n.quantity), words(n.of), words(n.least), words(n.most));
  }

  template <class Value>
  static std::string words(const std::optional<Value>& value) {
    return value ? words(*value) : "-";
  }

  template <class Value>
  static std::string words(const std::vector<Value>& list) {
    std::string text = "[";
    for (const Value& value : list) text += words(value) + ";";
    return text + "]\n";
  }
};

}  // namespace

std::string words_of(const Model& m) {
  std::string text =
      fmt::format("{} {}\n{}{}{}{}{}{}{}{}", Say::words(m.name), Say::words(m.module_mm), Say::words(m.masses),
                  Say::words(m.weighed), Say::words(m.clearances), Say::words(m.measured), Say::words(m.bars),
                  Say::words(m.bill), Say::words(m.linkages), Say::words(m.corners));
  if (m.tune) text += Say::words(m.tune->vary) + Say::words(m.tune->wants) + Say::words(m.tune->needs);
  return text;
}

}  // namespace ridepitch
