#include "read_back.h"

#include <array>
#include <cstdio>
#include <regex>

namespace tackcloth::sheet {

std::string output_of_command(const std::string& command) {
  std::string out;
  FILE* pipe = ::popen((command + " 2>/dev/null").c_str(), "r");
  if (!pipe) return out;
  std::array<char, 4096> part{};
  while (const std::size_t n = std::fread(part.data(), 1, part.size(), pipe)) out.append(part.data(), n);
  ::pclose(pipe);
  return out;
}

std::vector<std::vector<std::string>> matches(const std::string& text, const std::string& pattern) {
  const std::regex form(pattern);
  std::vector<std::vector<std::string>> found;
  for (std::sregex_iterator i(text.begin(), text.end(), form), end; i != end; ++i) {
    found.emplace_back();
    for (const auto& group : *i) found.back().push_back(group.str());
  }
  return found;
}

std::string in_one_line(const std::string& text) {
  return std::regex_replace(std::regex_replace(text, std::regex("\u00a0"), " "), std::regex("\\s+"), " ");
}

int pages_said(const std::string& pdfinfo) {
  const auto found = matches(pdfinfo, "Pages:\\s+(\\d+)");
  return found.empty() ? 0 : std::stoi(found[0][1]);
}

}  // namespace tackcloth::sheet
