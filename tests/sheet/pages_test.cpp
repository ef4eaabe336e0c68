// The pages of all demo sheets as pictures, to be looked at: RIDEPITCH_PAGES.

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "sheet/ink.hpp"
#include "sheet/sheets.hpp"

namespace ridepitch {
namespace {

TEST(Pages, of_all_demos_are_drawn_into_a_folder_to_be_looked_at) {
  std::filesystem::create_directories(RIDEPITCH_PAGES);
  for (const auto& [name, sheet] : demo_sheets()) {
    for (std::size_t page = 0; page < sheet.pages.size(); ++page) {
      const std::string png = png_of(sheet, page, 5);
      ASSERT_EQ(png.substr(1, 3), "PNG") << name;
      EXPECT_GT(png.size(), 10000u) << name << ": an empty page packs into far less";
      std::ofstream(std::string(RIDEPITCH_PAGES "/") + name + "-" + std::to_string(page + 1) + ".png", std::ios::binary)
          << png;
    }
  }
}

}  // namespace
}  // namespace ridepitch
