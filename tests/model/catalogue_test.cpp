// Parts and prices.

#include <gtest/gtest.h>

#include <map>

#include "model/model_files.hpp"
#include "model/read_prices.hpp"
#include "rigs/files.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

TEST(Catalogue, KnowsEveryKindOfPart) {
  const Model model = read_file("tests/model/good/everything.toml");
  const Piece& beam = std::get<Piece>(model.catalogue.at("beam-a").data);
  EXPECT_EQ(beam.kind, "beam");
  EXPECT_EQ(beam.length, 9);
  EXPECT_EQ(beam.mass_g, 3.5);
  EXPECT_EQ(beam.teeth, std::nullopt);
  const Piece& gear = std::get<Piece>(model.catalogue.at("gear-a").data);
  EXPECT_EQ(gear.kind, "gear");
  EXPECT_EQ(gear.teeth, 12);
  EXPECT_EQ(std::get<Piece>(model.catalogue.at("thing-a").data).kind, "other");
  const Tyre& tyre = std::get<Tyre>(model.catalogue.at("tyre-a").data);
  EXPECT_EQ(tyre.diameter_mm, 70);
  EXPECT_EQ(tyre.rate_n_per_mm, 6.5);
}

TEST(Catalogue, OfTheProgramHasSpringsTyresAndBeams) {
  std::map<std::string, int> kinds;
  for (const auto& [name, part] : built_in_parts()) {
    EXPECT_EQ(name, part.name);
    EXPECT_EQ(part.place, Place{});  // it is in no file of the user's
    if (std::holds_alternative<Coil>(part.data)) ++kinds["coil"];
    if (std::holds_alternative<Band>(part.data)) ++kinds["band"];
    if (std::holds_alternative<Tyre>(part.data)) ++kinds["tyre"];
    if (const auto* piece = std::get_if<Piece>(&part.data)) ++kinds[piece->kind];
  }
  for (const char* const kind : {"coil", "band", "tyre", "beam", "rod", "pin", "gear"})
    EXPECT_GE(kinds[kind], 2) << kind;
}

TEST(Catalogue, ALaterPartReplacesOneOfTheSameName) {
  ASSERT_FALSE(built_in_parts().empty());
  const ReadModel read = read_model(source_path("tests/models/quarry-hauler.toml"));
  ASSERT_TRUE(read.model);
  EXPECT_GE(read.model->catalogue.size(), built_in_parts().size());
  EXPECT_EQ(std::get<Coil>(read.model->catalogue.at("coil-7-firm").data).rate_n_per_mm, 0.62);
}

TEST(Prices, AreReadWithTheirStock) {
  const Model model = read_file("tests/model/good/everything.toml");
  EXPECT_TRUE(model.has_prices);
  ASSERT_EQ(model.prices.size(), 3u);
  EXPECT_EQ(model.prices.at("coil-a").price, 1.10);
  EXPECT_EQ(model.prices.at("coil-a").stock, Stock::plenty);
  EXPECT_EQ(model.prices.at("coil-b").stock, Stock::scarce);
  EXPECT_EQ(model.prices.at("sticker, red").stock, Stock::gone);
}

/// Prices of a text, and the first problem as "line:column: text".
std::string first_problem(std::string_view text) {
  Reading reading;
  reading.sources.push_back({"prices.csv", std::string(text)});
  read_prices(reading, 0);
  if (reading.problems.empty()) return "";
  const Problem& problem = reading.problems.front();
  return std::to_string(problem.place.line) + ":" + std::to_string(problem.place.column) + ": " + problem.text;
}

// Double quotes around a field, and doubled within one: RFC 4180.
TEST(Prices, ByteOrderMarkWindowsLinesBlanksAndQuotesAreTaken) {
  Reading reading;
  reading.sources.push_back(
      {"prices.csv", "\xEF\xBB\xBFpart, price, stock\r\n\r\n\"a \"\"b\"\"\" ,\t2 , gone\r\n  \r\n"});
  const auto prices = read_prices(reading, 0);
  EXPECT_TRUE(reading.problems.empty());
  ASSERT_EQ(prices.size(), 1u);
  EXPECT_EQ(prices.begin()->first, "a \"b\"");
  EXPECT_EQ(prices.begin()->second.price, 2);
  EXPECT_EQ(prices.begin()->second.stock, Stock::gone);
}

TEST(Prices, WhatIsNoPriceListIsRefused) {
  const std::string header = "a price list begins with the line: part,price,stock";
  EXPECT_EQ(first_problem(""), "1:1: " + header);
  EXPECT_EQ(first_problem("\n\npart:price:stock\n"), "3:1: " + header);
  EXPECT_EQ(first_problem("part,stock,price\n"), "1:1: " + header);
  EXPECT_EQ(first_problem("part,price,stock\na,1\n"), "2:1: this line has 2 columns, but needs 3: part,price,stock");
  EXPECT_EQ(first_problem("part,price,stock\n\"a,1,gone\n"),
            "2:1: this line has 1 columns, but needs 3: part,price,stock");
}

TEST(Prices, ThatAreNoNumbersAreRefused) {
  const auto price = [](std::string_view written) {
    return first_problem("part,price,stock\na," + std::string(written) + ",gone\n");
  };
  EXPECT_EQ(price("0"), "");
  EXPECT_EQ(price("1e2"), "");
  EXPECT_EQ(price(""), "2:3: the price '' is not a number");
  EXPECT_EQ(price("nan"), "2:3: the price 'nan' is not a number");
  EXPECT_EQ(price("inf"), "2:3: the price 'inf' is not a number");
  EXPECT_EQ(price("1e999"), "2:3: the price '1e999' is not a number");
  EXPECT_EQ(price("2e6"), "2:3: the price is 2000000, which is not a believable number");
  EXPECT_EQ(price("\"1\"0"), "");  // what follows the closing quote belongs to the field
}

// As spreadsheets write it where the comma is the decimal mark: common practice, no source.
TEST(PriceList, IsReadWithSemicolonsTabsDecimalCommasCurrenciesAndQuotes) {
  const Folder folder;
  const auto price = [&](const std::string& text) {
    const ReadPriceList read = read_price_list(folder.write("p.csv", text));
    EXPECT_TRUE(read.problems.empty()) << text << ": " << (read.problems.empty() ? "" : read.problems[0].text);
    return read.prices.contains("coil-a") ? read.prices.at("coil-a").price : -1;
  };
  EXPECT_EQ(price("part;price;stock\ncoil-a;1,25;plenty\n"), 1.25);
  EXPECT_EQ(price("part\tprice\tstock\r\ncoil-a\t1.25\tscarce\r\n"), 1.25);
  EXPECT_EQ(price("part,price,stock\n\"coil-a\",\"1,5\",gone\n"), 1.5);
  EXPECT_EQ(price("part;price;stock\ncoil-a;€ 2,50;plenty\n"), 2.5);
  EXPECT_EQ(price("part,price,stock\ncoil-a,$2.50,plenty\n"), 2.5);
  EXPECT_EQ(price("part;price;stock\ncoil-a;3 EUR;plenty\n"), 3);
}

// Marks between thousands in groups of three, the decimal mark last: common practice, no source.
TEST(PriceList, ReadsThousandsThatCanBeReadInOneWayOnly) {
  struct Case {
    std::string_view separator, written;
    double price;
  };
  for (const Case& each :
       {Case{";", "1.234,50", 1234.5}, Case{";", "1,234.50", 1234.5}, Case{"\t", "12,345.6", 12345.6},
        Case{",", "\"1,234.50\"", 1234.5}, Case{";", "123.456,7", 123456.7}, Case{";", "0,125", 0.125},
        Case{";", "0.125", 0.125}, Case{",", "1.234", 1.234}, Case{";", "1,2340", 1.234}, Case{";", "1234,5", 1234.5},
        Case{";", "€1.234,50", 1234.5}}) {
    Reading reading;
    const std::string mark(each.separator);
    reading.sources.push_back(
        {"p.csv", "part" + mark + "price" + mark + "stock\na" + mark + std::string(each.written) + mark + "plenty\n"});
    const auto prices = read_prices(reading, 0);
    ASSERT_TRUE(reading.problems.empty()) << each.written << ": " << reading.problems[0].text;
    EXPECT_DOUBLE_EQ(prices.at("a").price, each.price) << each.written;
  }
}

TEST(PriceList, RefusesWhatCanBeReadInTwoWaysOrNone) {
  const auto price = [](const std::string& written) {
    return first_problem("part;price;stock\na;" + written + ";gone\n");
  };
  const std::string two_ways = " can be read in two ways: with a decimal mark, or as thousands";
  EXPECT_EQ(price("1,250"), "2:3: the price '1,250'" + two_ways);
  EXPECT_EQ(price("1.250"), "2:3: the price '1.250'" + two_ways);
  EXPECT_EQ(price("€ 12,345"), "2:3: the price '€ 12,345'" + two_ways);
  EXPECT_EQ(first_problem("part,price,stock\na,\"1,250\",gone\n"), "2:3: the price '1,250'" + two_ways);
  for (const char* none : {"1,23.50", "1,234,50", "1.234.5", "1,2,3", "1.234,50,1", ",", ".", "1,234.", "0,123,456"})
    EXPECT_EQ(price(none), "2:3: the price '" + std::string(none) + "' is not a number");
}

// RFC 4180: what stands in quotes may hold the separator.
TEST(PriceList, ANameInQuotesMayHoldTheSeparator) {
  Reading reading;
  reading.sources.push_back(
      {"p.csv", "\xEF\xBB\xBFpart;price;stock\r\n\"pin; long\";1,5;plenty\r\n\"2 \"\" tyre, wide\";2;gone\r\n"});
  const auto prices = read_prices(reading, 0);
  ASSERT_TRUE(reading.problems.empty()) << reading.problems[0].text;
  EXPECT_EQ(prices.at("pin; long").price, 1.5);
  EXPECT_EQ(prices.at("2 \" tyre, wide").stock, Stock::gone);
}

}  // namespace
}  // namespace ridepitch
