// What other programs say of a file, as text to be searched. Compiled once: <regex> is slow to compile.
#pragma once

#include <string>
#include <vector>

namespace tackcloth::sheet {

// What a command writes to its standard output; empty when there is no such command.
std::string output_of_command(const std::string& command);
// Each place where an ECMAScript pattern is found: the whole, then its groups.
std::vector<std::vector<std::string>> matches(const std::string& text, const std::string& pattern);
// White space made single, a no-break space counting as one.
std::string in_one_line(const std::string& text);
// Of what pdfinfo says; 0 when it says nothing of pages.
int pages_said(const std::string& pdfinfo);

}  // namespace tackcloth::sheet
