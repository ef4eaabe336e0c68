// The sheet as files, each read back by something else than what wrote it.

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <numeric>
#include <regex>
#include <set>

#include "rigs/files.hpp"
#include "sheet/ink.hpp"
#include "sheet/sheet_files.hpp"
#include "sheet/sheets.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

Sheet demo_sheet(const std::string& name, const Paper& paper) {
  SheetFacts facts = facts_of(name);
  facts.paper = paper;
  return make_sheet(printed_demo(name).results(), facts);
}

std::vector<int> all_pages(const Sheet& sheet) {
  std::vector<int> pages(sheet.pages.size());
  std::iota(pages.begin(), pages.end(), 0);
  return pages;
}

std::string told_by(const std::string& command) {
  std::string text;
  FILE* pipe = popen(command.c_str(), "r");
  if (!pipe) return text;
  char part[4096];
  for (std::size_t n = 0; (n = fread(part, 1, sizeof part, pipe)) > 0;) text.append(part, n);
  pclose(pipe);
  return text;
}

unsigned integer_at(const std::string& bytes, std::size_t at) {
  unsigned value = 0;
  for (std::size_t i = at; i < at + 4; ++i) value = value << 8 | static_cast<unsigned char>(bytes.at(i));
  return value;
}

TEST(SheetFile, is_what_its_ending_says) {
  EXPECT_EQ(sheet_format("a.pdf"), SheetFormat::pdf);
  EXPECT_EQ(sheet_format("x.y/a.SVG"), SheetFormat::svg);
  EXPECT_EQ(sheet_format("a.b.png"), SheetFormat::png);
  EXPECT_EQ(sheet_format("a.html"), SheetFormat::html);
  EXPECT_EQ(sheet_format("x.svg/a"), SheetFormat::pdf) << "no ending";
  EXPECT_EQ(sheet_format("a.docx"), std::nullopt);
}

TEST(SheetFile, of_several_pages_is_one_for_each_where_a_format_has_no_pages) {
  EXPECT_THAT(sheet_paths("x.y/a.svg", SheetFormat::svg, {0, 2, 3}),
              ElementsAre("x.y/a-1.svg", "x.y/a-3.svg", "x.y/a-4.svg"));
  EXPECT_THAT(sheet_paths("a.png", SheetFormat::png, {4}), ElementsAre("a.png"));
  EXPECT_THAT(sheet_paths("a.pdf", SheetFormat::pdf, {0, 1}), ElementsAre("a.pdf"));
  EXPECT_THAT(sheet_paths("a.html", SheetFormat::html, {0, 1}), ElementsAre("a.html"));
}

// 210 / 25.4 * 300 = 2480.3, 297 / 25.4 * 300 = 3507.9; 300 / 0.0254 m = 11811.02; letter is 8.5 by 11 inches.
TEST(SheetPng, has_the_pixels_of_its_paper_and_says_how_large_they_are) {
  const std::string large = png_of(demo_sheet("trial-arm", a4), 0, 300);
  ASSERT_EQ(large.substr(12, 4), "IHDR");
  EXPECT_EQ(integer_at(large, 16), 2480u);
  EXPECT_EQ(integer_at(large, 20), 3508u);
  ASSERT_EQ(large.substr(37, 4), "pHYs");
  EXPECT_EQ(integer_at(large, 41), 11811u);
  EXPECT_EQ(integer_at(large, 45), 11811u);
  EXPECT_EQ(large[49], 1) << "the unit is the metre: PNG specification, 11.3.5.3";
  EXPECT_EQ(large.find("pHYs", 41), large.npos) << "there may be one only";
  const std::string small = png_of(demo_sheet("trial-arm", letter), 0, 100);
  EXPECT_EQ(integer_at(small, 16), 850u);
  EXPECT_EQ(integer_at(small, 20), 1100u);
}

// `pdftoppm` reads no PNG; the checksum is compared with the one that zlib's own crc32 gives of these 13 bytes, computed
// once by python3 -c 'import zlib; print(hex(zlib.crc32(b"pHYs\0\0\x2e\x23\0\0\x2e\x23\1")))'.
TEST(SheetPng, has_the_checksum_that_others_expect) {
  EXPECT_EQ(integer_at(png_of(demo_sheet("trial-arm", a4), 0, 300), 50), 0x78a53f76u);
}

TEST(SheetSvg, has_every_hole_where_the_linkage_has_it) {
  const Sheet sheet = demo_sheet("gravel-tug", a4);
  int holes = 0;
  for (int page = 0; page < static_cast<int>(sheet.pages.size()); ++page) {
    // A ring begins at its right, at the height of its centre: "M x y C ...", in mm of its block, which stands at "matrix".
    const std::string svg = svg_of(sheet, page);
    EXPECT_THAT(svg, HasSubstr("width=\"210mm\" height=\"297mm\" viewBox=\"0 0 210 297\""));
    std::vector<Vec2> begins;
    const std::regex begin("d=\"M ([0-9.]+) ([0-9.]+) C[^\"]*\" transform=\"matrix\\(1,0,0,1,([0-9.]+),([0-9.]+)\\)");
    for (std::sregex_iterator at(svg.begin(), svg.end(), begin), end; at != end; ++at)
      begins.emplace_back(std::stod((*at)[1]) + std::stod((*at)[3]), std::stod((*at)[2]) + std::stod((*at)[4]));
    for (const SheetBlock& block : sheet.pages[static_cast<std::size_t>(page)].blocks) {
      const auto* drawing = std::get_if<SheetDrawing>(&block.what);
      if (!drawing || drawing->reduced != 1) continue;
      for (const Shape& shape : drawing->picture.shapes) {
        const auto* disc = std::get_if<Disc>(&shape);
        if (!disc || disc->role != Role::hole || !disc->filled) continue;
        const Vec2 right =
            block.box.low + drawing->origin_mm + Vec2(disc->centre.x() + disc->radius_mm, -disc->centre.y());
        EXPECT_TRUE(std::any_of(begins.begin(), begins.end(), [&](const Vec2& p) { return (p - right).norm() < 0.01; }))
            << right.transpose();
        ++holes;
      }
    }
  }
  EXPECT_GT(holes, 5);
}

TEST(SheetHtml, needs_no_other_file_and_names_everything_once) {
  const Sheet sheet = demo_sheet("peat-crab", letter);
  const std::string html = html_of(sheet, all_pages(sheet));
  std::set<std::string> names;
  const std::regex id("id=\"([^\"]*)\""), use("(?:href=\"#|url\\(#)([^\")]*)");
  for (std::sregex_iterator at(html.begin(), html.end(), id), end; at != end; ++at)
    EXPECT_TRUE(names.insert((*at)[1]).second) << (*at)[1];
  int uses = 0;
  for (std::sregex_iterator at(html.begin(), html.end(), use), end; at != end; ++at, ++uses)
    EXPECT_TRUE(names.count((*at)[1])) << (*at)[1];
  EXPECT_GT(uses, 100);
  EXPECT_THAT(html, Not(HasSubstr("<?xml")));
  EXPECT_THAT(html, Not(HasSubstr("src=")));
  EXPECT_THAT(html, HasSubstr("@page { size: 215.9mm 279.4mm; margin: 0 }"));
  std::size_t pages = 0;
  for (std::size_t at = html.find("<svg"); at != html.npos; at = html.find("<svg", at + 1)) ++pages;
  EXPECT_EQ(pages, sheet.pages.size());
}

// Bookmarks as poppler's pdftohtml reads them.
TEST(SheetPdf, has_a_bookmark_for_each_heading_on_its_page) {
  const Folder folder;
  const Sheet sheet = demo_sheet("gravel-tug", a4);
  folder.write("a.pdf", pdf_of(sheet));
  const std::string outline = told_by("pdftohtml -xml -i -stdout " + folder.file("a.pdf"));
  int headings = 0;
  for (std::size_t page = 0; page < sheet.pages.size(); ++page)
    for (const SheetBlock& block : sheet.pages[page].blocks) {
      const auto* words = std::get_if<Words>(&block.what);
      if (!words || words->face != Face::heading) continue;
      ++headings;
      if (words->text.find('\'') == std::string::npos) {
        EXPECT_THAT(outline, HasSubstr(fmt::format("<item page=\"{}\">{}</item>", page + 1, words->text)));
      }
    }
  EXPECT_GT(headings, 4);
}

// 8.5 by 11 inches of 72 points: ISO 32000-1, 8.3.2.3.
TEST(SheetPdf, on_letter_paper_fits_within_its_margins_and_holds_the_pages_asked_for) {
  const Folder folder;
  for (const char* name : {"gravel-tug", "peat-crab", "timber-forwarder"}) {
    const Sheet sheet = demo_sheet(name, letter);
    for (const SheetPage& page : sheet.pages)
      for (const SheetBlock& block : page.blocks) {
        EXPECT_GE(block.box.low.x(), 15) << name;
        EXPECT_LE(block.box.high.x(), 215.9 - 15) << name;
        EXPECT_LE(block.box.high.y(), 279.4 - 15 + 1e-9) << name;
      }
    folder.write("a.pdf", pdf_of(sheet, {1}));
    const std::string told = told_by("pdfinfo " + folder.file("a.pdf"));
    EXPECT_THAT(told, HasSubstr("612 x 792 pts (letter)"));
    EXPECT_THAT(told, testing::ContainsRegex("Pages: +1\n"));
    EXPECT_THAT(told_by("pdftotext " + folder.file("a.pdf") + " -"),
                HasSubstr(fmt::format("2 of {}", sheet.pages.size())));
  }
}

}  // namespace
}  // namespace ridepitch
