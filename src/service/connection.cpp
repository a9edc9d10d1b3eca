#include "service/connection.h"

#include <algorithm>
#include <boost/asio/write.hpp>
#include <boost/beast/core/bind_handler.hpp>
#include <boost/beast/http/empty_body.hpp>
#include <boost/beast/http/read.hpp>
#include <boost/beast/http/write.hpp>
#include <cctype>
#include <chrono>

#include "service/guard.h"

namespace tackcloth::service {
namespace {

namespace beast = boost::beast;
namespace http = boost::beast::http;

constexpr std::uint64_t kBodyLimit = 1u << 20;
constexpr std::uint32_t kHeaderLimit = 16u << 10;
constexpr std::chrono::seconds kWriteTimeout{30};
constexpr std::chrono::seconds kGoodbyeTimeout{2};
constexpr std::size_t kMostWaitingEvents = 64;  // a client that far behind reconnects and catches up

Request request_of(http::request<http::string_body>& message) {
  Request request;
  request.method = std::string(message.method_string());
  request.target = std::string(message.target());
  for (const auto& field : message) {
    std::string name(field.name_string());
    std::transform(name.begin(), name.end(), name.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    auto& value = request.headers[name];
    if (!value.empty()) value += ", ";  // a doubled Host or Origin then matches nothing
    value += std::string(field.value());
  }
  request.body = std::move(message.body());
  return request;
}

}  // namespace

Connection::Connection(boost::asio::ip::tcp::socket socket, Host& host, bool from_network)
    : stream_(std::move(socket)), host_(host), from_network_(from_network) {}

void Connection::close() {
  if (closed_) return;
  closed_ = true;
  boost::system::error_code ignored;
  stream_.socket().shutdown(boost::asio::ip::tcp::socket::shutdown_both, ignored);
  stream_.close();
}

void Connection::read() {
  parser_.emplace();
  parser_->body_limit(kBodyLimit);
  parser_->header_limit(kHeaderLimit);
  stream_.expires_after(std::chrono::milliseconds(host_.read_timeout_ms()));
  http::async_read(stream_, buffer_, *parser_, [self = shared_from_this()](beast::error_code error, std::size_t) {
    if (!error) return self->on_request();
    if (error == http::error::body_limit) {
      self->write(refusal(413, problem_of("the body is too large", "at most 1 MB", "send less")), false, false, 11);
    } else if (error == http::error::header_limit) {
      self->write(refusal(431, problem_of("the headers are too large", "at most 16 KB", "send fewer")), false, false,
                  11);
    } else if (error.category() == http::make_error_code(http::error::bad_method).category() &&
               error != http::error::end_of_stream && error != http::error::partial_message) {
      self->write(refusal(400, problem_of("this is not an HTTP request", "HTTP/1.1 (RFC 9112)", "check the client")),
                  false, false, 11);
    } else {
      self->close();
    }
  });
}

void Connection::on_request() {
  auto message = parser_->release();
  const bool keep_alive = message.keep_alive();
  const bool head_only = message.method() == http::verb::head;
  Request request = request_of(message);
  request.from_network = from_network_;
  if (host_.wants_events(request)) {
    if (host_.has_room_for_events(from_network_)) return start_stream(message.version());
    return write(refusal(503, problem_of("too many pages are listening", "fewer of them", "close some")), head_only,
                 keep_alive, message.version());
  }
  host_.respond(request, [self = shared_from_this(), head_only, keep_alive, version = message.version()](
                             const Response& response) { self->write(response, head_only, keep_alive, version); });
}

void Connection::write(const Response& response, bool head_only, bool keep_alive, unsigned version) {
  if (closed_) return;  // while the answer was being made: a forgotten telephone
  Response guarded = response;
  add_security_headers(guarded);
  const auto finish = [&](auto message) {
    message->version(version);
    message->result(static_cast<unsigned>(guarded.status));
    message->keep_alive(keep_alive);
    message->set(http::field::server, "tackcloth");
    if (guarded.status != 304) message->set(http::field::content_type, guarded.content_type);
    for (const auto& [name, value] : guarded.headers) message->set(name, value);
    outgoing_ = message;
    stream_.expires_after(kWriteTimeout);
    http::async_write(stream_, *message, [self = shared_from_this(), keep_alive](beast::error_code error, std::size_t) {
      self->outgoing_.reset();
      if (error || !keep_alive) return self->close();
      self->read();
    });
  };
  if (head_only || guarded.status == 304) {
    auto message = std::make_shared<http::response<http::empty_body>>();
    if (guarded.status != 304) message->content_length(guarded.body.size());
    finish(message);
  } else {
    auto message = std::make_shared<http::response<http::string_body>>();
    message->body() = std::move(guarded.body);
    message->content_length(message->body().size());
    finish(message);
  }
}

// Closing with unread bytes in the socket would reset the connection and could take the answer with it; so the rest is
// read away for a little while first.
void Connection::say_goodbye() {
  boost::system::error_code ignored;
  stream_.socket().shutdown(boost::asio::ip::tcp::socket::shutdown_send, ignored);
  stream_.expires_after(kGoodbyeTimeout);
  drain();
}

void Connection::drain() {
  stream_.async_read_some(boost::asio::buffer(ignored_),
                          [self = shared_from_this()](beast::error_code error, std::size_t) {
                            if (error) return self->close();
                            self->drain();
                          });
}

void Connection::start_stream(unsigned version) {
  streaming_ = true;
  Response head;
  add_security_headers(head);
  std::string text = version >= 11 ? "HTTP/1.1 200 OK\r\n" : "HTTP/1.0 200 OK\r\n";
  text += "Content-Type: text/event-stream\r\nCache-Control: no-store\r\nConnection: close\r\nServer: tackcloth\r\n";
  for (const auto& [name, value] : head.headers) text += name + ": " + value + "\r\n";
  events_.push_back(text + "\r\n" + host_.greeting());
  write_next();
  watch_for_close();
}

void Connection::send_event(const std::string& text) {
  if (closed_) return;
  if (events_.size() >= kMostWaitingEvents) return close();
  events_.push_back(text);
  if (!writing_) write_next();
}

void Connection::write_next() {
  writing_ = true;
  boost::asio::async_write(stream_.socket(), boost::asio::buffer(events_.front()),
                           [self = shared_from_this()](beast::error_code error, std::size_t) {
                             self->writing_ = false;
                             if (error) return self->close();
                             self->events_.pop_front();
                             if (!self->events_.empty()) self->write_next();
                           });
}

// The only thing a listener sends is its end.
void Connection::watch_for_close() {
  stream_.expires_never();
  stream_.socket().async_read_some(boost::asio::buffer(ignored_),
                                   [self = shared_from_this()](beast::error_code error, std::size_t) {
                                     if (error) return self->close();
                                     self->watch_for_close();
                                   });
}

}  // namespace tackcloth::service
