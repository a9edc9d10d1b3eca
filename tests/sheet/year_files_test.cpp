// The year's files read back: the spreadsheet by odfpy, another library, and its package byte by byte.
#include "sheet/year_files.h"

#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

namespace tackcloth {
namespace {

plan::Year small_year() {
  plan::Year year;
  year.year = 2027;
  year.currency = "EUR";
  plan::YearPiece stool{std::chrono::local_days(std::chrono::year(2027) / 3 / 9),
                        "stool",
                        "Stool <& \"small\">",
                        "T. Example, jun.",
                        {1, {48000}, {8000}, {3085}, {650}, {36265}, 745, 30},
                        true,
                        true};
  plan::YearPiece chair{std::chrono::local_days(std::chrono::year(2027) / 11 / 30), "chair", "Stühlchen", "",
                        {1, {10000}, {0}, {12000}, {0}, {-2000}, 61, 61},           false,   false};
  year.pieces = {stool, chair};
  plan::add_up(year);
  return year;
}

int at16(const std::string& bytes, std::size_t at) {
  return static_cast<unsigned char>(bytes[at]) | static_cast<unsigned char>(bytes[at + 1]) << 8;
}

// OpenDocument 1.3, part 2, 3.3: first, stored, no extra field; so that the type stands at byte 38.
TEST(YearOds, TheTypeComesFirstAndStored) {
  const auto ods = sheet::year_ods(small_year());
  ASSERT_TRUE(ods) << to_text(ods.error());
  ASSERT_GT(ods->size(), 100u);
  EXPECT_EQ(ods->substr(0, 4), "PK\x03\x04");
  EXPECT_EQ(at16(*ods, 8), 0) << "stored";
  EXPECT_EQ(at16(*ods, 26), 8);
  EXPECT_EQ(at16(*ods, 28), 0) << "no extra field";
  EXPECT_EQ(ods->substr(30, 54), "mimetypeapplication/vnd.oasis.opendocument.spreadsheet");
  const auto again = sheet::year_ods(small_year());
  ASSERT_TRUE(again);
  EXPECT_EQ(*again, *ods);
}

constexpr const char* kReader = R"py(
import json, sys
from odf.opendocument import load
from odf.table import Table, TableRow, TableCell
from odf.namespaces import OFFICENS
doc = load(sys.argv[1])
out = {"type": doc.getMediaType(), "sheets": {}}
for table in doc.spreadsheet.getElementsByType(Table):
    rows = []
    for row in table.getElementsByType(TableRow):
        cells = []
        for cell in row.getElementsByType(TableCell):
            get = lambda name: cell.attributes.get((OFFICENS, name))
            text = "".join(str(n) for n in cell.childNodes)
            cells.append({"type": get("value-type"), "value": get("value"), "date": get("date-value"), "currency": get("currency"), "text": text})
        rows.append(cells)
    out["sheets"][table.getAttribute("name")] = rows
json.dump(out, sys.stdout)
)py";

TEST(YearOds, ReadBackByAnotherLibrary) {
  if (std::system("/usr/bin/python3 -c 'import odf' 2>/dev/null") != 0)
    GTEST_SKIP() << "SKIPPED: python3-odf is missing (setup/apt.txt), nobody reads the spreadsheet back";
  const auto ods = sheet::year_ods(small_year());
  ASSERT_TRUE(ods);
  std::string pattern = (std::filesystem::temp_directory_path() / "tackcloth-year-XXXXXX").string();
  ASSERT_NE(mkdtemp(pattern.data()), nullptr);
  const std::filesystem::path directory = pattern;
  std::ofstream(directory / "year.ods", std::ios::binary) << *ods;
  std::ofstream(directory / "read.py") << kReader;
  const std::string command =
      "/usr/bin/python3 " + (directory / "read.py").string() + " " + (directory / "year.ods").string();
  FILE* pipe = popen(command.c_str(), "r");
  ASSERT_NE(pipe, nullptr);
  std::string text;
  std::array<char, 4096> block;
  for (std::size_t got; (got = fread(block.data(), 1, block.size(), pipe)) > 0;) text.append(block.data(), got);
  ASSERT_EQ(pclose(pipe), 0);
  std::filesystem::remove_all(directory);
  const auto read = nlohmann::json::parse(text);
  EXPECT_EQ(read.at("type"), "application/vnd.oasis.opendocument.spreadsheet");

  const auto& months = read.at("sheets").at("Months");
  ASSERT_EQ(months.size(), 14u);  // heads, twelve months, the year
  const auto& march = months[3];
  EXPECT_EQ(march[0]["text"], "2027-03");
  EXPECT_EQ(march[1]["type"], "float");
  EXPECT_EQ(march[2]["type"], "currency");
  EXPECT_EQ(march[2]["currency"], "EUR");
  EXPECT_EQ(march[2]["value"], "480.00");
  EXPECT_EQ(march[6]["value"], "362.65");
  EXPECT_NEAR(std::stod(march[7]["value"].get<std::string>()), 745 / 60.0, 1e-12);
  EXPECT_EQ(march[9]["value"], "29.21");  // 36265 * 60 / 745 = 2920.67
  EXPECT_TRUE(months[1][9]["value"].is_null()) << "no hour in January, so no money for an hour";
  // The sums of the sheet are the sums of its lines, in hundredths.
  for (const int column : {2, 3, 4, 5, 6}) {
    long long sum = 0;
    for (std::size_t m = 1; m <= 12; ++m) {
      const auto money = parse_money(months[m][column]["value"].get<std::string>());
      ASSERT_TRUE(money);
      sum += money->minor;
    }
    EXPECT_EQ(parse_money(months[13][column]["value"].get<std::string>())->minor, sum) << column;
  }

  const auto& pieces = read.at("sheets").at("Pieces");
  ASSERT_EQ(pieces.size(), 3u);
  EXPECT_EQ(pieces[1][0]["type"], "date");
  EXPECT_EQ(pieces[1][0]["date"], "2027-03-09");
  EXPECT_EQ(pieces[1][2]["text"], "Stool <& \"small\">");
  EXPECT_EQ(pieces[2][2]["text"], "Stühlchen");
  EXPECT_EQ(pieces[2][8]["value"], "-20.00");
  EXPECT_EQ(pieces[2][11]["value"], "-19.67");  // 2000 * 60 / 61 = 1967.2
  EXPECT_EQ(pieces[1][12]["text"], "agreed");
  EXPECT_EQ(pieces[2][13]["text"], "as planned");
}

TEST(YearCsv, ARowAPieceAMonthAndTheYear) {
  const std::string csv = sheet::year_csv(small_year());
  EXPECT_NE(csv.find("piece,2027-03-09,stool,\"Stool <& \"\"small\"\">\",\"T. Example, jun.\",1,EUR,480.00,80.00,30.85,"
                     "6.50,362.65,745,30,29.21,agreed,bought\r\n"),
            std::string::npos)
      << csv;
  EXPECT_NE(csv.find("month,2027-01,,,,0,EUR,0.00,0.00,0.00,0.00,0.00,0,0,,,\r\n"), std::string::npos) << csv;
  EXPECT_NE(csv.find("year,2027,,,,2,EUR,580.00,80.00,150.85,6.50,342.65,806,91,25.51,,\r\n"), std::string::npos)
      << csv;
}

}  // namespace
}  // namespace tackcloth
