#include "sheet/sheet_files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <string_view>
#include <utility>

#include "model/text_file.hpp"
#include "sheet/ink.hpp"

namespace ridepitch {
namespace {

constexpr std::array<std::pair<std::string_view, SheetFormat>, 5> endings = {{{".pdf", SheetFormat::pdf},
                                                                              {".svg", SheetFormat::svg},
                                                                              {".png", SheetFormat::png},
                                                                              {".html", SheetFormat::html},
                                                                              {".htm", SheetFormat::html}}};

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

/// Each page's SVG names its glyphs alike; in one document a name must be the only one.
std::string with_names_of_its_own(std::string svg, int page) {
  const std::string own = fmt::format("p{}-", page + 1);
  for (const std::string_view lead : {"id=\"", "href=\"#", "url(#"})
    for (std::size_t found = svg.find(lead); found != svg.npos; found = svg.find(lead, found + lead.size()))
      svg.insert(found + lead.size(), own);
  return svg;
}

/// Without the declaration of XML, which HTML does not know.
std::string inner_svg(const std::string& svg) {
  const std::size_t begin = svg.find("<svg");
  return begin == svg.npos ? "" : svg.substr(begin);
}

}  // namespace

std::optional<SheetFormat> sheet_format(const std::string& path) {
  std::string ending = std::filesystem::path(path).extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  if (ending.empty()) return SheetFormat::pdf;
  for (const auto& [name, format] : endings)
    if (name == ending) return format;
  return std::nullopt;
}

std::vector<std::string> sheet_paths(const std::string& path, SheetFormat format, const std::vector<int>& pages) {
  const bool by_page = format == SheetFormat::svg || format == SheetFormat::png;
  if (!by_page || pages.size() == 1) return {path};
  const std::size_t stem = path.size() - std::filesystem::path(path).extension().string().size();
  std::vector<std::string> paths;
  for (const int page : pages)
    paths.push_back(fmt::format("{}-{}{}", path.substr(0, stem), page + 1, path.substr(stem)));
  return paths;
}

std::vector<FileToWrite> sheet_files(const Sheet& sheet, const std::string& path, SheetFormat format,
                                     const std::vector<int>& pages, int dpi) {
  if (format == SheetFormat::pdf) return {{path, pdf_of(sheet, pages)}};
  if (format == SheetFormat::html) return {{path, html_of(sheet, pages)}};
  const std::vector<std::string> paths = sheet_paths(path, format, pages);
  std::vector<FileToWrite> files;
  for (std::size_t i = 0; i < pages.size(); ++i)
    files.push_back({paths[i], format == SheetFormat::svg ? svg_of(sheet, pages[i]) : png_of(sheet, pages[i], dpi)});
  return files;
}

std::string html_of(const Sheet& sheet, const std::vector<int>& pages) {
  const Paper& paper = sheet.facts.paper;
  std::string html = fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{}</title>\n<style>\n"
      "@page {{ size: {}mm {}mm; margin: 0 }}\n"
      "body {{ margin: 0; background: #888 }}\n"
      "svg {{ display: block; margin: 4mm auto; background: #fff; width: {}mm; height: {}mm }}\n"
      "@media print {{ body {{ background: none }} svg {{ margin: 0; break-after: page }} "
      "svg:last-child {{ break-after: auto }} }}\n"
      "</style>\n</head>\n<body>\n",
      escaped(printable(sheet.title)), paper.width_mm, paper.height_mm, paper.width_mm, paper.height_mm);
  for (const int page : pages) {
    const std::string svg = svg_of(sheet, page);
    if (svg.empty()) return "";
    html += with_names_of_its_own(inner_svg(svg), page);
  }
  return html + "</body>\n</html>\n";
}

}  // namespace ridepitch
