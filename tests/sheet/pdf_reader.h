// A PDF written to a directory of its own and read back with poppler's tools.
#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <string>

#include "read_back.h"
#include "sheet/sheet.h"

namespace tackcloth::sheet {

class PdfReader : public testing::Test {
 protected:
  void SetUp() override {
    if (output_of_command("command -v pdftotext").empty()) GTEST_SKIP() << "poppler-utils is not installed";
    std::string pattern = (std::filesystem::temp_directory_path() / "tackcloth-pdf-XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    directory_ = pattern;
  }
  void TearDown() override {
    if (!directory_.empty()) std::filesystem::remove_all(directory_);
  }
  void read(const Result<std::string>& pdf) {
    ASSERT_TRUE(pdf.has_value()) << pdf.error().what;
    path_ = directory_ / "paper.pdf";
    ASSERT_TRUE(write_file(path_, *pdf));
    info_ = output_of_command("pdfinfo " + path_);
  }
  int pages() const { return pages_said(info_); }
  // All words, white space made single.
  std::string words() const { return in_one_line(output_of_command("pdftotext -layout " + path_ + " -")); }
  bool says(const std::string& expected) const { return words().find(expected) != std::string::npos; }
  std::filesystem::path directory_;
  std::string path_, info_;
};

}  // namespace tackcloth::sheet
