#include "window/theme.hpp"

#include <cmath>

// DejaVu Sans as Debian has it (fonts-dejavu-core); its licence, that of Bitstream Vera, allows shipping it with a program.
#ifdef RIDEPITCH_FONT
asm(".section .rodata\n"
    ".global ridepitch_font_begin\n"
    ".global ridepitch_font_end\n"
    ".balign 16\n"
    "ridepitch_font_begin:\n"
    ".incbin \"" RIDEPITCH_FONT
    "\"\n"
    "ridepitch_font_end:\n"
    ".byte 0\n"
    ".previous\n");
extern "C" const unsigned char ridepitch_font_begin[];
extern "C" const unsigned char ridepitch_font_end[];
#endif

namespace ridepitch::view {
namespace {

ImU32 rgb(unsigned hex, unsigned alpha = 255) {
  return IM_COL32((hex >> 16) & 255, (hex >> 8) & 255, hex & 255, alpha);
}

constexpr unsigned orange = 0xE69F00, sky = 0x56B4E9, green = 0x009E73, blue = 0x0072B2, vermilion = 0xD55E00,
                   purple = 0xCC79A7;

struct Tone {
  unsigned fill, edge;   ///< red, green, blue, a byte each
  unsigned alpha = 255;  ///< of the fill
};
struct RoleTones {
  Role role;
  Tone light, dark;
};
constexpr RoleTones tones[] = {
    {Role::grid, {0xC2C6CB, 0xC2C6CB}, {0x464C53, 0x464C53}},
    {Role::ground_line, {0x6B5B4A, 0x6B5B4A}, {0xB09B82, 0xB09B82}},
    {Role::chassis_part, {0xDAD5CB, 0x7A7264}, {0x4B463D, 0xB3A994}},
    {Role::body, {0xBFDDF4, blue}, {0x1E4360, sky}},
    {Role::far_body, {0xE4E8EC, 0xA9B2BC}, {0x2A3036, 0x59636D}},
    {Role::hole, {0xFFFFFF, 0x4A5560}, {0x16191D, 0xB9C2CB}},
    {Role::pin, {0x2B3138, 0x2B3138}, {0xE6EAEE, 0xE6EAEE}},
    {Role::rod, {0xEBC4DA, 0x8E3B6B}, {0x53293F, purple}},
    {Role::coil, {0xF3D9C6, vermilion}, {0x5C3115, 0xFF8A3C}},
    {Role::band, {0xBFE5D9, green}, {0x0B4536, 0x2BC79A}},
    {Role::solid, {0x8A1C00, 0x8A1C00}, {0xFF6A4D, 0xFF6A4D}},
    {Role::wheel, {0xE8EAED, 0x30363D}, {0x2A3036, 0xC9D1D9}},
    {Role::limit, {0x9A6A00, 0x9A6A00}, {0xF0E442, 0xF0E442}},
    {Role::slide, {0x7A7264, 0x7A7264}, {0xB3A994, 0xB3A994}},
    {Role::ghost, {0x9AA1A9, 0x9AA1A9, 60}, {0x767F88, 0x767F88, 60}},
    {Role::path, {0x4A5560, 0x4A5560}, {0xB9C2CB, 0xB9C2CB}},
    {Role::mass, {0xE9E4F2, 0x9C8FB8, 130}, {0x3A3350, 0x8F82B5, 130}},
    {Role::centre_of_gravity, {0x1B1F24, 0x1B1F24}, {0xF2F4F6, 0xF2F4F6}},
    {Role::keepout, {0xF6D9C7, vermilion, 150}, {0x5C3115, 0xFF8A3C, 130}},
    {Role::selected, {orange, 0xB36B00}, {orange, 0xFFC34D}},
    {Role::place_fits, {green, green}, {0x2BC79A, 0x2BC79A}},
    {Role::place_fits_not, {0xB0B5BB, 0xB0B5BB}, {0x6A737C, 0x6A737C}},
    {Role::text, {0x1B1F24, 0x1B1F24}, {0xF2F4F6, 0xF2F4F6}},
    {Role::quiet_text, {0x5C6670, 0x5C6670}, {0xA4AEB8, 0xA4AEB8}},
};

}  // namespace

Ink ink_for(Role role, bool dark) {
  for (const RoleTones& each : tones) {
    const Tone& tone = dark ? each.dark : each.light;
    if (each.role == role) return {rgb(tone.fill, tone.alpha), rgb(tone.edge)};
  }
  return {};
}

ImU32 series_colour(int style, bool dark) {
  const unsigned light_set[] = {blue, vermilion, 0x007A59, 0x8E3B6B}, dark_set[] = {sky, 0xFF8A3C, 0x2BC79A, purple};
  return rgb((dark ? dark_set : light_set)[style % 4]);
}

ImU32 paper(bool dark) { return dark ? rgb(0x1B1F24) : rgb(0xFBFBF9); }

void set_style(bool dark, float scale) {
  ImGuiStyle style;
  dark ? ImGui::StyleColorsDark(&style) : ImGui::StyleColorsLight(&style);
  style.WindowRounding = 0;
  style.FrameRounding = 3;
  style.GrabRounding = 3;
  style.WindowBorderSize = 0;
  style.PopupRounding = 4;
  style.FrameBorderSize = dark ? 0.f : 1.f;
  style.ItemSpacing = ImVec2(8, 5);
  style.CellPadding = ImVec2(5, 2);
  const auto set = [&](ImGuiCol which, unsigned light_rgb, unsigned dark_rgb) {
    style.Colors[which] = ImGui::ColorConvertU32ToFloat4(rgb(dark ? dark_rgb : light_rgb));
  };
  set(ImGuiCol_WindowBg, 0xF1F1EE, 0x22272D);
  set(ImGuiCol_MenuBarBg, 0xE4E4DF, 0x2B3138);
  set(ImGuiCol_PopupBg, 0xFBFBF9, 0x2B3138);
  set(ImGuiCol_Text, 0x1B1F24, 0xF2F4F6);
  set(ImGuiCol_TextDisabled, 0x5C6670, 0xA4AEB8);
  style.ScaleAllSizes(scale);
  ImGui::GetStyle() = style;
}

void load_font(float height_px) {
  ImGuiIO& io = ImGui::GetIO();
  io.Fonts->Clear();
  const float height = std::round(height_px);
#ifdef RIDEPITCH_FONT
  static const ImWchar ranges[] = {0x20,   0x17F,  0x370,  0x3FF,  0x2010, 0x2044, 0x2190, 0x21FF,
                                   0x2200, 0x2265, 0x25A0, 0x25FF, 0x2713, 0x2717, 0};
  ImFontConfig config;
  config.FontDataOwnedByAtlas = false;
  auto* data = const_cast<unsigned char*>(ridepitch_font_begin);
  io.Fonts->AddFontFromMemoryTTF(data, static_cast<int>(ridepitch_font_end - ridepitch_font_begin), height, &config,
                                 ranges);
#else
  ImFontConfig config;
  config.SizePixels = height;
  io.Fonts->AddFontDefault(&config);
#endif
}

}  // namespace ridepitch::view
