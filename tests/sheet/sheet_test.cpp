// The sheet on its pages, and its PDF as another program reads it (poppler).

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "rigs/files.hpp"
#include "sheet/ink.hpp"
#include "sheet/lay_out.hpp"
#include "sheet/sheets.hpp"

namespace ridepitch {
namespace {

using ::testing::HasSubstr;

std::string output_of(const std::string& command) {
  std::string text;
  FILE* pipe = popen(command.c_str(), "r");
  if (!pipe) return text;
  char part[4096];
  for (std::size_t n = 0; (n = fread(part, 1, sizeof part, pipe)) > 0;) text.append(part, n);
  pclose(pipe);
  return text;
}

// ----------------------------------------------------------------------------------------- words

TEST(Sheet, tells_what_to_change_and_whether_it_then_stands_the_same) {
  const std::string words = words_of(rework_sheet("gravel-tug", "gravel-tug-rework"));
  const std::vector<std::string> in_order = {"What to change",
                                             "Move the chassis hole 'rocker'",
                                             "[2, 6] | [3, 5]",
                                             "Put 3 coil-65-medium in place of 2 coil-75-firm.",
                                             "Yes. It stands the same",
                                             "The same means: ride height within 1 mm",
                                             "Linkage arm",
                                             "Scale 1:1",
                                             "How it stands",
                                             "What ruler and scale will read",
                                             "The engineer's numbers",
                                             "wheel rate | N/mm",
                                             "not for vehicles that carry people",
                                             "eye protection",
                                             "Flex and friction are not in the figures"};
  std::size_t at = 0;
  for (const std::string& each : in_order) {
    const std::size_t found = words.find(each, at);
    ASSERT_NE(found, std::string::npos) << each << " in " << words;
    at = found;
  }
}

TEST(Sheet, tells_how_far_off_a_change_is_that_does_not_hold) {
  const std::string words = words_of(rework_sheet("log-skidder-plain", "log-skidder-banded"));
  EXPECT_THAT(words, HasSubstr("No. It stands"));
  EXPECT_THAT(words, HasSubstr("too high"));
}

TEST(Sheet, of_a_model_alone_has_no_word_of_before) {
  const std::string words = words_of(make_sheet(printed_demo("peat-crab").results(), facts_of("peat-crab")));
  EXPECT_EQ(words.find("before"), words.find("before you trust"));
  EXPECT_THAT(words, HasSubstr("lock"));
  EXPECT_THAT(words, HasSubstr("Seen from above"));
}

// ----------------------------------------------------------------------------------------- pages

TEST(Pages, hold_their_blocks_within_the_margins_one_below_the_other) {
  for (const auto& [name, sheet] : demo_sheets()) {
    for (const SheetPage& page : sheet.pages) {
      double y = paper_margin_mm;
      EXPECT_FALSE(page.blocks.empty()) << name;
      for (const SheetBlock& block : page.blocks) {
        EXPECT_GE(block.box.low.y(), y - 1e-9) << name;
        y = block.box.high.y();
        EXPECT_LE(block.box.high.x(), a4.width_mm - paper_margin_mm + 1e-9) << name;
        if (const auto* table = std::get_if<SheetTable>(&block.what)) {
          double width = 0;
          for (const SheetColumn& column : table->columns) width += column.width_mm;
          EXPECT_LE(width, text_width_on_page_mm + 1e-6) << name;
        }
      }
      EXPECT_LE(y, a4.height_mm - paper_margin_mm + 1e-9) << name;
    }
  }
}

TEST(Pages, break_a_long_table_between_rows_under_the_same_headings) {
  SheetTable table;
  table.columns = {{"number"}};
  for (int i = 0; i < 150; ++i) table.rows.push_back({{{std::to_string(i)}}});
  const std::vector<SheetPage> pages = lay_out({{table}});
  EXPECT_GT(pages.size(), 1u);
  int next = 0;
  for (const SheetPage& page : pages) {
    const auto& part = std::get<SheetTable>(page.blocks.at(0).what);
    EXPECT_EQ(part.columns[0].heading, "number");
    for (const SheetRow& row : part.rows) EXPECT_EQ(row.cells[0].text, std::to_string(next++));
  }
  EXPECT_EQ(next, 150);
}

TEST(Pages, tell_again_at_their_top_what_a_row_is_of) {
  SheetTable table;
  table.columns = {{"what"}, {"at"}};
  for (int i = 0; i < 150; ++i) table.rows.push_back({{{i == 0 ? "sag" : ""}, {std::to_string(i)}}});
  const std::vector<SheetPage> pages = lay_out({{table}});
  ASSERT_GT(pages.size(), 2u);
  for (const SheetPage& page : pages) {
    const auto& part = std::get<SheetTable>(page.blocks.at(0).what);
    EXPECT_EQ(part.rows[0].cells[0].text, "sag");
    EXPECT_EQ(part.rows[1].cells[0].text, "");
  }
}

TEST(Broken, lines_fit_their_width_and_lose_no_word) {
  const std::string text =
      "a few words and one_that_is_so_long_that_no_line_could_ever_hold_it_whole \u00e4\u00f6\u00fc";
  std::string all;
  for (const std::string& line : broken(text, 20, Face::text)) {
    EXPECT_LE(text_width_mm(line, Face::text), 20);
    all += line;
  }
  std::string letters;
  for (const char c : text)
    if (c != ' ') letters += c;
  all.erase(std::remove(all.begin(), all.end(), ' '), all.end());
  EXPECT_EQ(all, letters);
}

TEST(Sheet, stands_names_of_any_length_and_bytes_that_are_no_text) {
  Printed hauler = printed_demo("quarry-hauler");
  hauler.model.name = "\xff\x01 bad " + std::string(400, 'w');
  hauler.model.corners[0].name = std::string(300, 'x');
  hauler.solution.corners[0].name = std::string(300, 'x');
  hauler.model.linkages[0].springs[0].name = std::string(90, 'y');
  const std::string pdf = pdf_of(make_sheet(hauler.results(), {"\xfe", "\xfd.toml", "2026-11-28"}));
  EXPECT_EQ(pdf.substr(0, 5), "%PDF-");
}

// ------------------------------------------------------------------------------------------- PDF

TEST(Pdf, is_the_same_bytes_each_time) {
  const Sheet one = rework_sheet("gravel-tug", "gravel-tug-rework"),
              two = rework_sheet("gravel-tug", "gravel-tug-rework");
  EXPECT_EQ(pdf_of(one), pdf_of(two));
  Sheet undated = one;
  undated.facts.date.clear();
  EXPECT_EQ(pdf_of(undated), pdf_of(undated));
}

TEST(Pdf, has_pages_of_A4_numbered_and_dated) {
  const Folder folder;
  const Sheet sheet = rework_sheet("gravel-tug", "gravel-tug-rework");
  ASSERT_FALSE(write_sheet(folder.file("a.pdf"), sheet));
  const std::string info = output_of("TZ=UTC pdfinfo -isodates " + folder.file("a.pdf"));
  EXPECT_THAT(info, HasSubstr(fmt::format("Pages:           {}\n", sheet.pages.size())));
  // ISO 216: A4 is 210 mm x 297 mm, that is 595.276 x 841.89 points of 1/72 inch; pdfinfo rounds them.
  EXPECT_THAT(info, HasSubstr("595.276 x 841.89 pts (A4)"));
  EXPECT_THAT(info, HasSubstr("2026-11-28T00:00:00"));
  const std::string text = output_of("pdftotext -layout " + folder.file("a.pdf") + " -");
  EXPECT_THAT(text, HasSubstr("Move the chassis hole 'rocker' one hole forward"));
  for (std::size_t page = 1; page <= sheet.pages.size(); ++page)
    EXPECT_THAT(text, HasSubstr(fmt::format("{} of {}", page, sheet.pages.size())));
  EXPECT_THAT(text, HasSubstr("gravel-tug-rework.toml, 2026-11-28"));
}

/// A page as poppler draws it, 10 px to the mm.
struct Print {
  int width = 0, height = 0;
  std::string grey;
  bool dark(double x_mm, double y_mm) const {
    const auto at = static_cast<std::size_t>(std::lround(y_mm * 10) * width + std::lround(x_mm * 10));
    return at < grey.size() && static_cast<unsigned char>(grey[at]) < 128;
  }
};

Print print_of(const std::string& pdf, std::size_t page) {
  Print print;
  std::istringstream in(output_of(fmt::format("pdftoppm -gray -r 254 -f {0} -l {0} {1}", page + 1, pdf)));
  std::string kind;
  int most = 0;
  in >> kind >> print.width >> print.height >> most;
  in.get();
  print.grey.assign(std::istreambuf_iterator<char>(in), {});
  return print;
}

TEST(Pdf, prints_the_ruler_and_a_tyre_at_their_true_sizes) {
  const Folder folder;
  const Sheet sheet = rework_sheet("gravel-tug", "gravel-tug-rework");
  ASSERT_FALSE(write_sheet(folder.file("a.pdf"), sheet));
  for (std::size_t page = 0; page < sheet.pages.size(); ++page) {
    for (const SheetBlock& block : sheet.pages[page].blocks) {
      const auto* drawing = std::get_if<SheetDrawing>(&block.what);
      if (!drawing || drawing->ruler_mm <= 0) continue;
      const Print print = print_of(folder.file("a.pdf"), page);
      EXPECT_NEAR(print.width, 2100, 1);
      EXPECT_NEAR(print.height, 2970, 1) << "a part of a px at the edge is one";
      const Vec2 bar = block.box.low + drawing->ruler_at_mm;
      int first = -1, last = -1;
      for (int x = 0; x < static_cast<int>((bar.x() + drawing->ruler_mm + 1) * 10); ++x) {
        if (!print.dark(x / 10.0, bar.y() + 0.06)) continue;
        if (first < 0) first = x;
        last = x;
      }
      EXPECT_NEAR(last - first + 1, 1000, 2) << "100 mm at 10 px each; a px of smoothing at either end";
      ASSERT_EQ(drawing->reduced, 1);
      Vec2 centre = Vec2::Zero();
      double radius = 0;
      for (const Shape& shape : drawing->picture.shapes)
        if (const auto* disc = std::get_if<Disc>(&shape);
            disc && disc->role == Role::wheel && disc->radius_mm > radius) {
          centre = block.box.low + on_paper(*drawing, disc->centre);
          radius = disc->radius_mm;
        }
      // To the right and up the tyre's line, 0.45 mm thick, is alone.
      for (const Vec2& way : {Vec2(1, 0), Vec2(std::sqrt(0.5), -std::sqrt(0.5))}) {
        const Vec2 on = centre + radius * way, out = centre + (radius + 0.6) * way;
        EXPECT_TRUE(print.dark(on.x(), on.y()));
        EXPECT_FALSE(print.dark(out.x(), out.y()));
      }
      return;
    }
  }
  FAIL() << "no drawing with a ruler";
}

TEST(WriteSheet, prints_no_control_character_of_any_name) {
  const Folder folder;
  Sheet sheet = make_sheet(printed_demo("trial-arm").results(), facts_of("trial-arm"));
  // C0 and C1 controls, and those that turn the direction of writing: Unicode Standard, chapter 23.
  const std::vector<std::string> raw = {"\x1b[31m", "\x07", "\xC2\x9B", "\xE2\x80\xAE", "\xE2\x81\xA6"};
  for (const std::string& each : raw) {
    sheet.title += each;
    sheet.facts.file += each;
    for (SheetBlock& block : sheet.pages.front().blocks)
      if (auto* words = std::get_if<Words>(&block.what); words && !words->lines.empty()) words->lines.front() += each;
  }
  ASSERT_FALSE(write_sheet(folder.file("a.pdf"), sheet));
  const std::string text =
      output_of("pdftotext " + folder.file("a.pdf") + " -") + output_of("pdfinfo " + folder.file("a.pdf"));
  ASSERT_NE(text, "");
  for (const std::string& each : raw) EXPECT_EQ(text.find(each), std::string::npos) << testing::PrintToString(each);
}

TEST(WriteSheet, says_why_it_could_not_and_leaves_what_was_there) {
  const Folder folder;
  const Sheet sheet = make_sheet(printed_demo("trial-arm").results(), facts_of("trial-arm"));
  const auto missing = write_sheet(folder.file("no-such-folder/a.pdf"), sheet);
  ASSERT_TRUE(missing);
  EXPECT_EQ(missing->code, "cannot-write");
  const auto full = write_sheet("/dev/full", sheet);
  ASSERT_TRUE(full) << "Linux' device that is always full (man 4 full)";
  EXPECT_THAT(full->text, HasSubstr("No space left"));
  std::ofstream(folder.file("a.pdf")) << "old";
  ASSERT_FALSE(write_sheet(folder.file("a.pdf"), sheet));
  EXPECT_EQ(text_of(folder.file("a.pdf")), pdf_of(sheet));
}

TEST(Png, of_every_demo_page_is_drawn_into_a_folder_to_be_looked_at) {
  std::filesystem::create_directories(RIDEPITCH_PAGES);
  const Folder folder;
  for (const auto& [name, sheet] : demo_sheets()) {
    const std::string pages = RIDEPITCH_PAGES "/" + name, pdf = folder.write(name + ".pdf", pdf_of(sheet));
    output_of(fmt::format("pdftoppm -png -r 127 {} {}", pdf, pages));
    for (std::size_t page = 0; page < sheet.pages.size(); ++page) {
      const std::string png = text_of(fmt::format("{}-{}.png", pages, page + 1));
      ASSERT_EQ(png.substr(1, 3), "PNG") << name;
      EXPECT_GT(png.size(), 10000u) << name << ": an empty page packs into far less";
    }
  }
}

}  // namespace
}  // namespace ridepitch
