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

Ink light_ink(Role role) {
  switch (role) {
    case Role::grid:
      return {rgb(0xC2C6CB), rgb(0xC2C6CB)};
    case Role::ground_line:
      return {rgb(0x6B5B4A), rgb(0x6B5B4A)};
    case Role::chassis_part:
      return {rgb(0xDAD5CB), rgb(0x7A7264)};
    case Role::body:
      return {rgb(0xBFDDF4), rgb(blue)};
    case Role::far_body:
      return {rgb(0xE4E8EC), rgb(0xA9B2BC)};
    case Role::hole:
      return {rgb(0xFFFFFF), rgb(0x4A5560)};
    case Role::pin:
      return {rgb(0x2B3138), rgb(0x2B3138)};
    case Role::rod:
      return {rgb(0xEBC4DA), rgb(0x8E3B6B)};
    case Role::coil:
      return {rgb(0xF3D9C6), rgb(vermilion)};
    case Role::band:
      return {rgb(0xBFE5D9), rgb(green)};
    case Role::solid:
      return {rgb(0x8A1C00), rgb(0x8A1C00)};
    case Role::wheel:
      return {rgb(0xE8EAED), rgb(0x30363D)};
    case Role::limit:
      return {rgb(0x9A6A00), rgb(0x9A6A00)};
    case Role::slide:
      return {rgb(0x7A7264), rgb(0x7A7264)};
    case Role::ghost:
      return {rgb(0x9AA1A9, 60), rgb(0x9AA1A9)};
    case Role::path:
      return {rgb(0x4A5560), rgb(0x4A5560)};
    case Role::mass:
      return {rgb(0xE9E4F2, 130), rgb(0x9C8FB8)};
    case Role::centre_of_gravity:
      return {rgb(0x1B1F24), rgb(0x1B1F24)};
    case Role::keepout:
      return {rgb(0xF6D9C7, 150), rgb(vermilion)};
    case Role::selected:
      return {rgb(orange), rgb(0xB36B00)};
    case Role::place_fits:
      return {rgb(green), rgb(green)};
    case Role::place_fits_not:
      return {rgb(0xB0B5BB), rgb(0xB0B5BB)};
    case Role::text:
      return {rgb(0x1B1F24), rgb(0x1B1F24)};
    case Role::quiet_text:
      return {rgb(0x5C6670), rgb(0x5C6670)};
  }
  return {};
}

Ink dark_ink(Role role) {
  switch (role) {
    case Role::grid:
      return {rgb(0x464C53), rgb(0x464C53)};
    case Role::ground_line:
      return {rgb(0xB09B82), rgb(0xB09B82)};
    case Role::chassis_part:
      return {rgb(0x4B463D), rgb(0xB3A994)};
    case Role::body:
      return {rgb(0x1E4360), rgb(sky)};
    case Role::far_body:
      return {rgb(0x2A3036), rgb(0x59636D)};
    case Role::hole:
      return {rgb(0x16191D), rgb(0xB9C2CB)};
    case Role::pin:
      return {rgb(0xE6EAEE), rgb(0xE6EAEE)};
    case Role::rod:
      return {rgb(0x53293F), rgb(purple)};
    case Role::coil:
      return {rgb(0x5C3115), rgb(0xFF8A3C)};
    case Role::band:
      return {rgb(0x0B4536), rgb(0x2BC79A)};
    case Role::solid:
      return {rgb(0xFF6A4D), rgb(0xFF6A4D)};
    case Role::wheel:
      return {rgb(0x2A3036), rgb(0xC9D1D9)};
    case Role::limit:
      return {rgb(0xF0E442), rgb(0xF0E442)};
    case Role::slide:
      return {rgb(0xB3A994), rgb(0xB3A994)};
    case Role::ghost:
      return {rgb(0x767F88, 60), rgb(0x767F88)};
    case Role::path:
      return {rgb(0xB9C2CB), rgb(0xB9C2CB)};
    case Role::mass:
      return {rgb(0x3A3350, 130), rgb(0x8F82B5)};
    case Role::centre_of_gravity:
      return {rgb(0xF2F4F6), rgb(0xF2F4F6)};
    case Role::keepout:
      return {rgb(0x5C3115, 130), rgb(0xFF8A3C)};
    case Role::selected:
      return {rgb(orange), rgb(0xFFC34D)};
    case Role::place_fits:
      return {rgb(0x2BC79A), rgb(0x2BC79A)};
    case Role::place_fits_not:
      return {rgb(0x6A737C), rgb(0x6A737C)};
    case Role::text:
      return {rgb(0xF2F4F6), rgb(0xF2F4F6)};
    case Role::quiet_text:
      return {rgb(0xA4AEB8), rgb(0xA4AEB8)};
  }
  return {};
}

}  // namespace

Ink ink_for(Role role, bool dark) { return dark ? dark_ink(role) : light_ink(role); }

ImU32 series_colour(int style, bool dark) {
  const unsigned light_set[] = {blue, vermilion, 0x007A59, 0x8E3B6B}, dark_set[] = {sky, 0xFF8A3C, 0x2BC79A, purple};
  return rgb((dark ? dark_set : light_set)[style % 4]);
}

ImU32 paper(bool dark) { return dark ? rgb(0x1B1F24) : rgb(0xFBFBF9); }

void set_style(bool dark, float scale) {
  ImGuiStyle style;
  if (dark) {
    ImGui::StyleColorsDark(&style);
  } else {
    ImGui::StyleColorsLight(&style);
  }
  style.WindowRounding = 0;
  style.FrameRounding = 3;
  style.GrabRounding = 3;
  style.WindowBorderSize = 0;
  style.PopupRounding = 4;
  style.FrameBorderSize = dark ? 0.f : 1.f;
  style.ItemSpacing = ImVec2(8, 5);
  style.CellPadding = ImVec2(5, 2);
  ImVec4* colours = style.Colors;
  colours[ImGuiCol_WindowBg] = ImGui::ColorConvertU32ToFloat4(dark ? rgb(0x22272D) : rgb(0xF1F1EE));
  colours[ImGuiCol_MenuBarBg] = ImGui::ColorConvertU32ToFloat4(dark ? rgb(0x2B3138) : rgb(0xE4E4DF));
  colours[ImGuiCol_PopupBg] = ImGui::ColorConvertU32ToFloat4(dark ? rgb(0x2B3138) : rgb(0xFBFBF9));
  colours[ImGuiCol_Text] = ImGui::ColorConvertU32ToFloat4(dark ? rgb(0xF2F4F6) : rgb(0x1B1F24));
  colours[ImGuiCol_TextDisabled] = ImGui::ColorConvertU32ToFloat4(dark ? rgb(0xA4AEB8) : rgb(0x5C6670));
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
