// One client: reads requests within limits, answers, or stays open as an event stream.
#pragma once

#include <utility>
// asio's coroutine header of Boost 1.74 needs <utility> before it.
#include <boost/asio/ip/tcp.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/string_body.hpp>
#include <deque>
#include <functional>
#include <memory>
#include <optional>

#include "service/http.h"

namespace tackcloth::service {

// What a connection asks of the server. All calls come on the io thread.
class Host {
 public:
  virtual ~Host() = default;
  virtual int read_timeout_ms() const = 0;
  // `done` is called on the io thread, at once or when the answer has been worked out.
  virtual void respond(const Request& request, std::function<void(Response)> done) = 0;
  // Whether this request opens the event stream (already let through by the guard).
  virtual bool wants_events(const Request& request) = 0;
  virtual bool has_room_for_events(bool from_network) const = 0;
  virtual std::string greeting() = 0;  // first text on an event stream
};

class Connection : public std::enable_shared_from_this<Connection> {
 public:
  Connection(boost::asio::ip::tcp::socket socket, Host& host, bool from_network);
  bool from_network() const { return from_network_; }
  void start() { read(); }
  bool is_stream() const { return streaming_; }
  void send_event(const std::string& text);  // only on a stream
  void close();

 private:
  void read();
  void on_request();
  void write(const Response& response, bool head_only, bool keep_alive, unsigned version);
  void say_goodbye();
  void drain();
  void start_stream(unsigned version);
  void write_next();
  void watch_for_close();

  boost::beast::tcp_stream stream_;
  Host& host_;
  boost::beast::flat_buffer buffer_;
  std::optional<boost::beast::http::request_parser<boost::beast::http::string_body>> parser_;
  std::shared_ptr<void> outgoing_;
  std::deque<std::string> events_;
  const bool from_network_;
  bool streaming_ = false, writing_ = false, closed_ = false;
  char ignored_[4096] = {};
};

}  // namespace tackcloth::service
