// Runs the built program as a shop would.
#pragma once

#include <sys/wait.h>

#include <cstdio>
#include <string>

namespace tackcloth::cli {

struct Ran {
  int code = -1;
  std::string out;
};

// stderr joins stdout only where a test reads the message.
inline Ran run(const std::string& arguments, bool with_errors = false) {
  Ran ran;
  const std::string command =
      std::string(TACKCLOTH_PROGRAM) + " " + arguments + (with_errors ? " 2>&1" : " 2>/dev/null");
  FILE* pipe = popen(command.c_str(), "r");
  char buffer[4096];
  for (std::size_t n; (n = fread(buffer, 1, sizeof buffer, pipe)) > 0;) ran.out.append(buffer, n);
  const int status = pclose(pipe);
  ran.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128;
  return ran;
}

}  // namespace tackcloth::cli
