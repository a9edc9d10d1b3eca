#include "sheet/year_files.h"

#include <fmt/format.h>
#include <zip.h>

#include <array>
#include <memory>

#include "sheet/csv.h"
#include "sheet/vector_text.h"

namespace tackcloth::sheet {
namespace {

std::string date_of(std::chrono::local_days day) { return to_iso(Instant(day)).substr(0, 10); }
std::string money_or_nothing(const std::optional<Money>& money) { return money ? to_text(*money) : ""; }

std::vector<std::string> sums_fields(const plan::YearSums& sums, const std::string& currency) {
  return {std::to_string(sums.pieces),
          currency,
          to_text(sums.income),
          to_text(sums.tax),
          to_text(sums.materials),
          to_text(sums.waste_fees),
          to_text(sums.left),
          std::to_string(sums.minutes),
          std::to_string(sums.untimed_minutes),
          money_or_nothing(sums.per_hour())};
}

std::string month_name(const plan::Year& year, int month) { return fmt::format("{:04}-{:02}", year.year, month + 1); }

// ---- OpenDocument 1.3 (OASIS, 2021). Part 3 names the elements, part 2 the package.

constexpr const char* kType = "application/vnd.oasis.opendocument.spreadsheet";
constexpr const char* kManifest =
    R"(<?xml version="1.0" encoding="UTF-8"?>
<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" manifest:version="1.3">
 <manifest:file-entry manifest:full-path="/" manifest:version="1.3" manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/>
 <manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/>
</manifest:manifest>
)";

std::string text_cell(const std::string& text, const char* style = "") {
  return fmt::format("<table:table-cell{}{} office:value-type=\"string\"><text:p>{}</text:p></table:table-cell>",
                     *style ? " table:style-name=" : "", *style ? fmt::format("\"{}\"", style) : "", xml_text(text));
}
std::string money_cell(const std::optional<Money>& money, const std::string& currency) {
  if (!money) return "<table:table-cell/>";
  return fmt::format(
      "<table:table-cell table:style-name=\"money\" office:value-type=\"currency\" office:currency=\"{0}\" "
      "office:value=\"{1}\"><text:p>{1} {0}</text:p></table:table-cell>",
      xml_text(currency), to_text(*money));
}
std::string count_cell(std::int64_t count) {
  return fmt::format(
      "<table:table-cell office:value-type=\"float\" office:value=\"{0}\"><text:p>{0}</text:p></table:table-cell>",
      count);
}
std::string hours_cell(std::int64_t minutes) {
  return fmt::format(
      "<table:table-cell table:style-name=\"hours\" office:value-type=\"float\" office:value=\"{}\"><text:p>{:.2f}"
      "</text:p></table:table-cell>",
      double(minutes) / 60, double(minutes) / 60);
}
std::string date_cell(std::chrono::local_days day) {
  return fmt::format(
      "<table:table-cell table:style-name=\"date\" office:value-type=\"date\" office:date-value=\"{0}\"><text:p>{0}"
      "</text:p></table:table-cell>",
      date_of(day));
}
std::string row_of(const std::string& cells) { return "<table:table-row>" + cells + "</table:table-row>\n"; }

std::string sums_cells(const plan::YearSums& sums, const std::string& currency) {
  return money_cell(sums.income, currency) + money_cell(sums.tax, currency) + money_cell(sums.materials, currency) +
         money_cell(sums.waste_fees, currency) + money_cell(sums.left, currency) + hours_cell(sums.minutes) +
         hours_cell(sums.untimed_minutes) + money_cell(sums.per_hour(), currency);
}

std::string heads(const std::vector<const char*>& names, const Tongue& tongue) {
  std::string cells;
  for (const char* name : names) cells += text_cell(tongue.fill(name), "head");
  return "<table:table-header-rows>" + row_of(cells) + "</table:table-header-rows>\n";
}

std::string months_table(const plan::Year& year, const Tongue& tongue) {
  std::string out = "<table:table table:name=\"" + xml_text(tongue.fill("Months")) +
                    "\">\n<table:table-column table:number-columns-repeated=\"10\"/>\n";
  out += heads({"Month", "Pieces", "Income", "Tax in it", "Materials", "Waste fees", "Left", "Hours",
                "Of them not timed", "Left for an hour"},
               tongue);
  for (int m = 0; m < 12; ++m)
    out += row_of(text_cell(month_name(year, m)) + count_cell(year.months[m].pieces) +
                  sums_cells(year.months[m], year.currency));
  out += row_of(text_cell(std::to_string(year.year), "head") + count_cell(year.total.pieces) +
                sums_cells(year.total, year.currency));
  return out + "</table:table>\n";
}

std::string pieces_table(const plan::Year& year, const Tongue& tongue) {
  std::string out = "<table:table table:name=\"" + xml_text(tongue.fill("Pieces")) +
                    "\">\n<table:table-column table:number-columns-repeated=\"14\"/>\n";
  out += heads({"Handed over", "Id", "Piece", "Owner", "Income", "Tax in it", "Materials", "Waste fees", "Left",
                "Hours", "Of them not timed", "Left for an hour", "Price", "Materials are"},
               tongue);
  for (const plan::YearPiece& piece : year.pieces)
    out +=
        row_of(date_cell(piece.day) + text_cell(piece.id) + text_cell(piece.name) + text_cell(piece.owner) +
               sums_cells(piece.sums, year.currency) + text_cell(tongue.fill(piece.agreed ? "agreed" : "as planned")) +
               text_cell(tongue.fill(piece.bought ? "as bought" : "as planned")));
  return out + "</table:table>\n";
}

std::string content_xml(const plan::Year& year, const Tongue& tongue) {
  const std::string currency = xml_text(year.currency);
  return R"(<?xml version="1.0" encoding="UTF-8"?>
<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:fo="urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0" xmlns:number="urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0" office:version="1.3">
<office:automatic-styles>
<number:currency-style style:name="as-money"><number:number number:decimal-places="2" number:min-decimal-places="2" number:min-integer-digits="1" number:grouping="true"/><number:text> </number:text><number:currency-symbol>)" +
         currency + R"(</number:currency-symbol></number:currency-style>
<number:number-style style:name="as-hours"><number:number number:decimal-places="2" number:min-decimal-places="2" number:min-integer-digits="1"/></number:number-style>
<number:date-style style:name="as-date"><number:year number:style="long"/><number:text>-</number:text><number:month number:style="long"/><number:text>-</number:text><number:day number:style="long"/></number:date-style>
<style:style style:name="money" style:family="table-cell" style:data-style-name="as-money"/>
<style:style style:name="hours" style:family="table-cell" style:data-style-name="as-hours"/>
<style:style style:name="date" style:family="table-cell" style:data-style-name="as-date"/>
<style:style style:name="head" style:family="table-cell"><style:text-properties fo:font-weight="bold"/></style:style>
</office:automatic-styles>
<office:body><office:spreadsheet>
)" + months_table(year, tongue) +
         pieces_table(year, tongue) + "</office:spreadsheet></office:body>\n</office:document-content>\n";
}

Problem unwritten(const char* why) {
  return {"", 0, 0, std::string("the spreadsheet cannot be packed: ") + why, "memory for it", "close something"};
}

struct Member {
  const char* name;
  std::string bytes;
  bool stored;
};

// libzip, since a mimetype member must have no extra field (OpenDocument 1.3, part 2, 3.3), which libarchive writes.
Result<std::string> packed(const std::vector<Member>& members) {
  zip_error_t error;
  zip_error_init(&error);
  zip_source_t* source = zip_source_buffer_create(nullptr, 0, 0, &error);
  if (source == nullptr) return tl::unexpected(unwritten(zip_error_strerror(&error)));
  zip_source_keep(source);
  const std::unique_ptr<zip_source_t, decltype(&zip_source_free)> kept(source, zip_source_free);
  zip_t* zip = zip_open_from_source(source, ZIP_TRUNCATE, &error);
  if (zip == nullptr) {
    zip_source_free(source);
    return tl::unexpected(unwritten(zip_error_strerror(&error)));
  }
  for (const Member& member : members) {
    zip_source_t* bytes = zip_source_buffer(zip, member.bytes.data(), member.bytes.size(), 0);
    const zip_int64_t at = bytes == nullptr ? -1 : zip_file_add(zip, member.name, bytes, 0);
    // 1 January 1980, where the times of zip begin: the same year gives the same bytes.
    constexpr zip_uint16_t kTime = 0, kDate = 1 << 5 | 1;
    if (at < 0 || zip_file_set_dostime(zip, static_cast<zip_uint64_t>(at), kTime, kDate, 0) != 0 ||
        zip_set_file_compression(zip, static_cast<zip_uint64_t>(at), member.stored ? ZIP_CM_STORE : ZIP_CM_DEFLATE,
                                 0) != 0) {
      if (at < 0 && bytes != nullptr) zip_source_free(bytes);
      const auto problem = unwritten(zip_strerror(zip));
      zip_discard(zip);
      return tl::unexpected(problem);
    }
  }
  if (zip_close(zip) != 0) {
    const auto problem = unwritten(zip_strerror(zip));
    zip_discard(zip);
    return tl::unexpected(problem);
  }
  std::string out;
  zip_stat_t stat;
  if (zip_source_stat(source, &stat) != 0 || (stat.valid & ZIP_STAT_SIZE) == 0 || zip_source_open(source) != 0)
    return tl::unexpected(unwritten("it cannot be read back"));
  out.resize(stat.size);
  const zip_int64_t got = zip_source_read(source, out.data(), stat.size);
  zip_source_close(source);
  if (got != static_cast<zip_int64_t>(stat.size)) return tl::unexpected(unwritten("it cannot be read back"));
  return out;
}

}  // namespace

std::string year_csv(const plan::Year& year) {
  std::string out =
      csv_row({"row", "when", "id", "piece", "owner", "pieces", "currency", "income", "tax", "materials", "waste_fees",
               "left", "minutes", "untimed_minutes", "left_per_hour", "price", "materials_are"});
  const auto line = [&](std::vector<std::string> fields, const plan::YearSums& sums, const char* price,
                        const char* materials) {
    for (std::string& field : sums_fields(sums, year.currency)) fields.push_back(std::move(field));
    fields.emplace_back(price);
    fields.emplace_back(materials);
    out += csv_row(fields);
  };
  for (const plan::YearPiece& piece : year.pieces)
    line({"piece", date_of(piece.day), piece.id, piece.name, piece.owner}, piece.sums,
         piece.agreed ? "agreed" : "planned", piece.bought ? "bought" : "planned");
  for (int m = 0; m < 12; ++m) line({"month", month_name(year, m), "", "", ""}, year.months[m], "", "");
  line({"year", std::to_string(year.year), "", "", ""}, year.total, "", "");
  return out;
}

Result<std::string> year_ods(const plan::Year& year, const Tongue& tongue) {
  return packed({{"mimetype", kType, true},
                 {"content.xml", content_xml(year, tongue), false},
                 {"META-INF/manifest.xml", kManifest, false}});
}

}  // namespace tackcloth::sheet
