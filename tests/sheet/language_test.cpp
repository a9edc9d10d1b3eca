// Papers in another language: all of the example in German, and by a book that leaves no English letter standing.
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "pdf_reader.h"
#include "plan/year.h"
#include "sample_plan.h"
#include "sheet/bill.h"
#include "sheet/boards.h"
#include "sheet/cut_sheet.h"
#include "sheet/labels.h"
#include "sheet/papers.h"
#include "sheet/words.h"
#include "sheet/year_files.h"
#include "tongue/po.h"

namespace tackcloth::sheet {
namespace {

const std::string kRoot = TACKCLOTH_SOURCE_DIR;

// The example, planned once.
struct Example {
  Results<catalog::Catalog> catalog = catalog::load_catalog(kRoot + "/catalog");
  job::Job job;
  plan::Plan plan;
  std::string trouble;

  Example() {
    auto rules = finish::load_rules(kRoot + "/catalog/rules.toml");
    if (!catalog || !rules) {
      trouble = "the catalogue does not load";
      return;
    }
    const film::Model film(*catalog);
    const finish::Finisher finisher(*catalog, film, std::move(*rules));
    auto read = job::read_job(kRoot + "/examples/spring.toml", *catalog);
    auto weather = climate::read_forecast_csv(kRoot + "/examples/spring-weather.csv");
    if (!read || !weather) {
      trouble = "the example does not load";
      return;
    }
    auto made = plan::make_plan(*read, {&*catalog, &film, &finisher, *weather}, {});
    if (!made) {
      trouble = to_text(made.error().front());
      return;
    }
    job = std::move(*read);
    plan = std::move(*made);
  }
};
const Example& example() {
  static const Example one;
  return one;
}

picture::Image grey() {
  picture::Image image(40, 30);
  std::fill(image.rgb.begin(), image.rgb.end(), std::uint8_t{128});
  return image;
}

// What is said on papers that the example alone does not bring.
std::vector<PaperFile> others(const Tongue& tongue) {
  std::vector<PaperFile> files;
  const auto add = [&](const std::string& name, const Result<std::string>& bytes) {
    ASSERT_TRUE(bytes) << name << ": " << bytes.error().what;
    files.push_back({name, *bytes});
  };
  const Example& e = example();
  for (std::size_t p = 0; p < e.plan.pieces.size(); ++p) {
    const materials::Price& price = e.plan.pieces[p].price;
    const auto offer = materials::offer({price.materials, price.hours, e.job.shop.hourly_rate, 0, 0, 0, {}}, {}, {});
    Bill bill = bill_of(e.job, e.job.pieces[p], e.plan, e.plan.pieces[p], *offer, e.plan.start, tongue);
    bill.number = "7";
    bill.paid = Money{1000};
    bill.valid_until = e.plan.start;
    add("invoice.pdf", invoice_pdf(bill, Paper::letter, e.plan.start));
    add("quote.pdf", quote_pdf(bill, Paper::letter, e.plan.start));
  }
  plan::Plan done = e.plan;  // half of the work is done
  for (auto& piece : done.pieces)
    for (std::size_t i = 0; i < piece.schedule.size() / 2; ++i) piece.schedule[i].done = true;
  add("job-sheet.pdf", job_sheet_pdf(done, Paper::letter, e.plan.start, tongue));
  add("labels.pdf", labels_pdf({"Stuhl", "", {{"A1", "", "", "http://x/"}}}, Paper::a4, e.plan.start, tongue));
  Card card;
  card.board.id = "a";  // a name somebody typed
  card.board.name = "Stuhl";
  card.board.late = true;
  card.board.days = 3;
  card.board.bench_hours = 2.5;
  card.board.finish = e.plan.start;
  card.board.pairs.push_back({});
  card.board.pairs.back().zone = card.board.pairs.back().other = "top";
  add("boards.pdf",
      boards_sheet({card}, {"Stuhl", "Stuhl", "", "EUR", ""}, Paper::a4, Sheet::pdf, e.plan.start, tongue));
  CutDrawing cut;
  cut.title = "Stuhl: cutting layout";
  cut.says = {"Buy 1.2 m (1 3/8 yd).", "The parts take 1200 mm.", "No layout is shorter: proven."};
  cut.list = {"1  A: cut 300 mm × 300 mm, 0 mm from the left edge, 0 mm from the cut end of New sheet 1, turned"};
  cut.grounds.push_back({"", 1400, 500, {{"A", 0, 0, 300, 300}}});
  const auto sheet = cut_pdf(cut, Paper::a4, e.plan.start, tongue);
  add("cut.pdf", sheet ? Result<std::string>(sheet->pdf) : Result<std::string>(tl::unexpected(sheet.error())));
  return files;
}

std::vector<PaperFile> all_papers(const Tongue& tongue, Paper paper) {
  const Example& e = example();
  std::vector<PaperFile> files = others(tongue);
  PapersAsked asked;
  asked.paper = paper;
  asked.date = e.plan.start;
  asked.before = asked.after = grey();
  asked.tongue = tongue;
  for (std::size_t p = 0; p < e.plan.pieces.size(); ++p) {
    const materials::Price& price = e.plan.pieces[p].price;
    const auto offer = materials::offer({price.materials, price.hours, e.job.shop.hourly_rate, 0, 0, 0, {}}, {}, {});
    auto made = papers_of(e.job, e.plan, p, *offer, *e.catalog, asked);
    EXPECT_TRUE(made) << made.error().what;
    if (made)
      for (PaperFile& file : *made) files.push_back(std::move(file));
  }
  return files;
}

std::set<std::string> words_of(const std::string& text) {
  std::set<std::string> words;
  std::string word;
  for (const char c : text + " ") {
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    if (letter) {
      word += c;
    } else {
      if (word.size() > 2) words.insert(word);
      word.clear();
    }
  }
  return words;
}

std::string file_text(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

class InGerman : public PdfReader {
 protected:
  void SetUp() override {
    PdfReader::SetUp();
    ASSERT_EQ(example().trouble, "");
  }
};

// A sentence new on a paper, or new in an engine, needs its entry in catalog/words/de.po.
TEST_F(InGerman, NoSentenceOfTheExampleIsMissing) {
  auto tongue = Tongue::load(kRoot + "/catalog", "de");
  ASSERT_TRUE(tongue) << to_text(tongue.error());
  std::vector<std::string> missing;
  tongue->note_missing(&missing);
  for (const Paper paper : {Paper::a4, Paper::letter}) EXPECT_GT(all_papers(*tongue, paper).size(), 30u);
  EXPECT_TRUE(year_ods({}, *tongue));
  EXPECT_EQ(missing, std::vector<std::string>{});
}

// Whatever goes past the book shows: here the book says every English letter as another. Left may be what the job
// file says, and what the locale says of days and months.
TEST_F(InGerman, NothingGoesPastTheBook) {
  const auto po = tongue::read_po(kRoot + "/catalog/words/de.po");
  ASSERT_TRUE(po);
  std::ofstream out((std::filesystem::create_directories(directory_ / "words"), directory_ / "words/de.po"));
  const auto quoted = [](const std::string& text) {
    std::string made = "\"";
    for (const char c : text) made += c == '"' || c == '\\' ? std::string{'\\', c} : std::string(1, c);
    return made + "\"\n";
  };
  for (const tongue::Entry& entry : po->entries) {
    std::string other;
    bool slot = false;
    for (const char c : entry.english) {
      slot = c == '{' || (slot && c != '}');
      const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
      other += !slot && letter ? "\u00df" : std::string(1, c);
    }
    if (!entry.context.empty()) out << "msgctxt " << quoted(entry.context);
    out << "msgid " << quoted(entry.english) << "msgstr " << quoted(other) << "\n";
  }
  out.close();
  const auto tongue = Tongue::load(directory_, "de");
  ASSERT_TRUE(tongue) << to_text(tongue.error());
  std::set<std::string> may = words_of(file_text(kRoot + "/examples/spring.toml"));
  for (int month = 1; month <= 12; ++month) may.merge(words_of(tongue->dated(at(month * 29, 8), "EEEdMMMM")));
  for (int month = 1; month <= 12; ++month) may.merge(words_of(tongue->dated(at(month * 29, 8), "EEEdMMM")));
  // Units, and what stands for itself.
  may.merge(std::set<std::string>{"min", "mil", "CIEDE", "EUR", "Stuhl", "http", "rztest"});
  std::set<std::string> past;
  for (const PaperFile& file : all_papers(*tongue, Paper::a4)) {
    if (!file.name.ends_with(".pdf")) continue;
    read(file.bytes);
    for (const std::string& word : words_of(words()))
      if (!may.contains(word)) past.insert(file.name + ": " + word);
  }
  EXPECT_EQ(past, std::set<std::string>{});
}

TEST_F(InGerman, SaysDatesMoneyAndDecimalsAsGermanDoes) {
  const auto tongue = Tongue::load(kRoot + "/catalog", "de");
  ASSERT_TRUE(tongue);
  Forms forms{job::Numbers::comma_point, job::Dates::month_first, "EUR", *tongue};
  EXPECT_EQ(priced(Money{123450}, forms), "1.234,50\u00a0EUR");
  EXPECT_EQ(percent_words(7.25, forms), "7,25\u00a0%");
  EXPECT_EQ(date_words(at(2, 8), forms), "4. März 2026");
  forms.numbers = job::Numbers::space_comma;  // decimals as German has them: the shop's own thousands stand
  EXPECT_EQ(money_words(Money{123450}, forms),
            "1\u00a0"
            "234,50");
  forms.dates = job::Dates::year_first;
  EXPECT_EQ(date_words(at(2, 8), forms), "2026-03-04");
  EXPECT_EQ(clock_on(at(3, 8, 30), at(2, 8), *tongue), "Do., 5. März 08:30");
  EXPECT_EQ(zone_words("case/top, case/apron", *tongue).find('/'), std::string::npos);
}

}  // namespace
}  // namespace tackcloth::sheet
