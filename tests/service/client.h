// A plain socket and nothing else, so that what goes over the wire is seen as it is.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <string>

namespace tackcloth::service {

class Client {
 public:
  // `address`: 127.0.0.1, or another of the loopback range in the place of a local network's.
  explicit Client(int port, const std::string& address = "127.0.0.1")
      : host_((address == "127.0.0.1" ? "localhost" : address) + ":" + std::to_string(port)),
        socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
    sockaddr_in where{};
    where.sin_family = AF_INET;
    where.sin_port = htons(static_cast<std::uint16_t>(port));
    ::inet_pton(AF_INET, address.c_str(), &where.sin_addr);
    connected_ = ::connect(socket_, reinterpret_cast<sockaddr*>(&where), sizeof where) == 0;
  }
  ~Client() { ::close(socket_); }
  Client(const Client&) = delete;
  Client& operator=(const Client&) = delete;

  bool connected() const { return connected_; }
  void send(const std::string& text) const {
    for (std::size_t done = 0; done < text.size();) {
      const auto sent = ::send(socket_, text.data() + done, text.size() - done, MSG_NOSIGNAL);
      if (sent <= 0) return;
      done += static_cast<std::size_t>(sent);
    }
  }
  // Reads until `mark` has been seen in what came since the last call, or the other side closes, or ten seconds pass.
  std::string read_until(const std::string& mark) {
    std::string out;
    for (;;) {
      if (const auto at = kept_.find(mark); !mark.empty() && at != std::string::npos) {
        out = kept_.substr(0, at + mark.size());
        kept_.erase(0, at + mark.size());
        return out;
      }
      pollfd waiting{socket_, POLLIN, 0};
      if (::poll(&waiting, 1, 10'000) <= 0) return "TIMED OUT after: " + kept_;
      char block[4096];
      const auto got = ::recv(socket_, block, sizeof block, 0);
      if (got <= 0) {
        std::swap(out, kept_);
        return out;
      }
      kept_.append(block, static_cast<std::size_t>(got));
    }
  }
  std::string rest() { return read_until(""); }

  // One request on this connection, which is then closed; returns the whole answer.
  std::string ask(const std::string& method, const std::string& target, const std::string& headers = "",
                  const std::string& body = "") {
    send(method + " " + target + " HTTP/1.1\r\nHost: " + host_ + "\r\nConnection: close\r\n" + headers +
         (body.empty() ? "" : "Content-Length: " + std::to_string(body.size()) + "\r\n") + "\r\n" + body);
    return rest();
  }

 private:
  std::string host_;
  int socket_;
  bool connected_ = false;
  std::string kept_;
};

inline constexpr const char* kJson = "Content-Type: application/json\r\n";

inline std::string body_of(const std::string& answer) {
  const auto at = answer.find("\r\n\r\n");
  return at == std::string::npos ? std::string() : answer.substr(at + 4);
}

}  // namespace tackcloth::service
