#include "tongue/po.h"

#include <fstream>
#include <sstream>

namespace tackcloth::tongue {
namespace {

constexpr std::string_view kLanguage = "Language:";

class Reader {
 public:
  explicit Reader(const std::string& file) : file_(file) {}

  Result<void> line(std::string_view text) {
    ++number_;
    while (!text.empty() && (text.back() == '\r' || text.back() == ' ')) text.remove_suffix(1);
    if (text.empty()) return {};
    if (text.front() == '#') {
      if (filling_ == &now_.other) close();
      if (text.starts_with("#,") && text.find("fuzzy") != std::string_view::npos) fuzzy_ = true;
      return {};
    }
    for (const auto& [word, field] :
         {std::pair(std::string_view("msgctxt "), &now_.context), std::pair(std::string_view("msgid "), &now_.english),
          std::pair(std::string_view("msgstr "), &now_.other)}) {
      if (!text.starts_with(word)) continue;
      if (field != &now_.other && filling_ == &now_.other) close();
      if (field == &now_.other && filling_ != &now_.english) return wrong("msgstr without its msgid");
      filling_ = field;
      return quoted(text.substr(word.size()));
    }
    if (text.front() == '"' && filling_) return quoted(text);
    return wrong("'" + std::string(text.substr(0, 40)) + "' is no line of a PO file");
  }
  Result<Po> finish() {
    if (filling_ && filling_ != &now_.other) return tl::unexpected(problem("the last entry has no msgstr"));
    if (filling_) close();
    return std::move(po_);
  }

 private:
  Problem problem(std::string what) const {
    return {file_, number_, 0, std::move(what), "a PO file as GNU gettext writes it", "check it with msgfmt --check"};
  }
  Result<void> wrong(std::string what) const { return tl::unexpected(problem(std::move(what))); }

  Result<void> quoted(std::string_view text) {
    if (text.size() < 2 || text.front() != '"' || text.back() != '"') return wrong("a text is not between quotes");
    text = text.substr(1, text.size() - 2);
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (text[i] == '"') return wrong("a quote stands in a text without a backslash");
      if (text[i] != '\\') {
        *filling_ += text[i];
        continue;
      }
      if (++i == text.size()) return wrong("a text ends in a backslash");
      const char c = text[i];
      if (c != 'n' && c != 't' && c != '"' && c != '\\') return wrong("there is no such escape");
      *filling_ += c == 'n' ? '\n' : c == 't' ? '\t' : c;
    }
    return {};
  }

  void close() {
    if (now_.english.empty()) {
      const std::size_t at = now_.other.find(kLanguage);
      if (at != std::string::npos) {
        const std::size_t from = now_.other.find_first_not_of(' ', at + kLanguage.size());
        po_.language = now_.other.substr(from, now_.other.find('\n', from) - from);
      }
    } else if (!now_.other.empty() && !fuzzy_) {
      po_.entries.push_back(now_);
    }
    now_ = {};
    filling_ = nullptr;
    fuzzy_ = false;
  }

  const std::string& file_;
  int number_ = 0;
  Entry now_;
  std::string* filling_ = nullptr;
  bool fuzzy_ = false;
  Po po_;
};

}  // namespace

Result<Po> parse_po(std::string_view text, const std::string& file) {
  Reader reader(file);
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    if (auto read = reader.line(text.substr(0, end)); !read) return tl::unexpected(read.error());
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return reader.finish();
}

Result<Po> read_po(const std::string& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  if (!in)
    return tl::unexpected(
        Problem{file, 0, 0, "the book of this language cannot be read", "a PO file", "check the path"});
  return parse_po(text.str(), file);
}

}  // namespace tackcloth::tongue
