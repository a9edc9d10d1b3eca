// Errors as values. Every boundary of Tackcloth (files, command line, HTTP) hands back a Result; nothing throws across
// a room's public header.
#pragma once

#include <string>
#include <tl/expected.hpp>
#include <vector>

namespace tackcloth {

// What went wrong, where, and how to mend it. `line` and `column` count from 1; 0 means "not in a file".
struct Problem {
  std::string file;
  int line = 0;
  int column = 0;
  std::string what;      // "the height of part 'door' is -3 mm"
  std::string expected;  // "a length between 1 mm and 10 m"
  std::string remedy;    // "write it as 60 cm or 23 5/8 in"
};

template <class T>
using Result = tl::expected<T, Problem>;

// For readers that go on after the first mistake and report all of them.
template <class T>
using Results = tl::expected<T, std::vector<Problem>>;

// "job.toml:12:7: what. Expected: ... To mend: ..." on one line.
std::string to_text(const Problem& problem);

}  // namespace tackcloth
