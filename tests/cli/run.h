// Runs the built program as a shop would.
#pragma once

#include <arpa/inet.h>
#include <gtest/gtest.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
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

// A directory of its own for every test program, and files in it.
class InDirectory : public ::testing::Test {
 protected:
  void SetUp() override {
    dir_ = std::filesystem::temp_directory_path() / ("tackcloth-cli-" + std::to_string(::getpid()));
    std::filesystem::create_directories(dir_);
  }
  void TearDown() override { std::filesystem::remove_all(dir_); }
  std::string file(const std::string& name, const std::string& text) {
    const std::filesystem::path path = dir_ / name;
    std::ofstream(path, std::ios::binary) << text;
    return path.string();
  }
  std::filesystem::path dir_;
};

// A port of this machine that is taken for as long as it lives.
class TakenPort {
 public:
  TakenPort() : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    socklen_t size = sizeof address;
    if (::bind(socket_, reinterpret_cast<sockaddr*>(&address), size) == 0 && ::listen(socket_, 1) == 0 &&
        ::getsockname(socket_, reinterpret_cast<sockaddr*>(&address), &size) == 0)
      number_ = ntohs(address.sin_port);
  }
  ~TakenPort() { ::close(socket_); }
  std::string number() const { return std::to_string(number_); }

 private:
  int socket_;
  int number_ = 0;
};

}  // namespace tackcloth::cli
