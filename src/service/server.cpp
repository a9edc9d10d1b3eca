// One io thread for the network, one worker for new plans, and two for answers that take long.
#include <fcntl.h>
#include <unistd.h>

#include <utility>
//
#include <algorithm>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/address.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <condition_variable>
#include <mutex>
#include <thread>
#include <vector>

#include "service/api.h"
#include "service/aside.h"
#include "service/compression.h"
#include "service/connection.h"
#include "service/everything.h"
#include "service/guard.h"
#include "service/lan.h"
#include "service/lan_address.h"
#include "service/service.h"
#include "service/slow.h"

namespace tackcloth::service {
namespace {

namespace asio = boost::asio;
using asio::ip::tcp;

constexpr std::size_t kMostConnections = 900, kMostStreams = 600;
// Whoever is on the local network must not be able to keep the desk out.
constexpr std::size_t kMostFromNetwork = 300, kMostStreamsFromNetwork = 200;

Config with_clock(Config config) {
  if (!config.seconds) {
    config.seconds = [] {
      const auto passed = std::chrono::steady_clock::now().time_since_epoch();
      return static_cast<long long>(std::chrono::duration_cast<std::chrono::seconds>(passed).count());
    };
  }
  return config;
}

class RunningServer final : public Server, private Host {
 public:
  RunningServer(const Config& config, ledger::Ledger& ledger, Replan replan, Clock clock)
      : config_(with_clock(config)),
        ledger_(ledger),
        replan_(std::move(replan)),
        clock_(std::move(clock)),
        acceptor_(io_),
        lan_acceptor_(io_),
        lan_(config_, ledger_, clock_),
        everything_(ledger_, clock_),
        stop_reader_(io_),
        heartbeat_(io_),
        watch_(io_),
        slow_(config_.slow, ledger_,
              [this](const std::string& name) {
                asio::post(io_, [this, name] { send("event: " + name + "\ndata: {}\n\n"); });
              }),
        aside_([this](std::function<void()> told) { asio::post(io_, std::move(told)); }),
        exports_([this](std::function<void()> told) { asio::post(io_, std::move(told)); }),
        worker_([this] { work(); }) {}

  ~RunningServer() override {
    {
      const std::lock_guard lock(work_mutex_);
      ending_ = true;
    }
    work_ready_.notify_all();
    worker_.join();
    for (auto& weak : connections_) {
      if (auto connection = weak.lock()) connection->close();
    }
    if (stop_writer_ >= 0) ::close(stop_writer_);
  }

  Result<void> listen() {
    if (auto ready = bind(acceptor_, config_.address, config_.port); !ready) return ready;
    port_ = acceptor_.local_endpoint().port();
    if (!config_.lan_address.empty()) {
      const auto address = local_address(config_.lan_address);
      if (!address) return tl::unexpected(address.error());
      if (auto ready = bind(lan_acceptor_, *address, port_); !ready) return ready;
      lan_.open_on(*address, port_);
      if (auto made = lan_.new_code(); !made) return made;
    }
    int ends[2];
    if (::pipe2(ends, O_CLOEXEC | O_NONBLOCK) != 0) {
      return tl::unexpected(problem_of("cannot make a pipe", "a free file handle", "close other programs"));
    }
    stop_writer_ = ends[1];
    stop_reader_.assign(ends[0]);
    stop_reader_.async_read_some(asio::buffer(stop_byte_), [this](auto, std::size_t) { io_.stop(); });
    const auto newest = ledger_.latest_plan_id();
    if (!newest) return tl::unexpected(newest.error());
    latest_ = *newest;
    // An entry or a change may have been stored just before the last run ended.
    const auto entries = ledger_.entries();
    if (!entries) return tl::unexpected(entries.error());
    const auto changes = ledger_.changes();
    if (!changes) return tl::unexpected(changes.error());
    if ((latest_ > 0 && !entries->empty()) || !changes->empty()) ask_replan();
    accept(acceptor_, retry_, false);
    if (lan_.is_open()) accept(lan_acceptor_, lan_retry_, true);
    beat();
    watch();
    return {};
  }

  int port() const override { return port_; }
  std::string lan_url() const override { return lan_.is_open() ? "http://" + lan_.host() + "/" : std::string(); }
  std::string pairing_code() const override { return lan_.code(); }
  void run() override { io_.run(); }
  // Only write(2): safe inside a signal handler.
  void stop() override {
    const char byte = 's';
    [[maybe_unused]] const auto written = ::write(stop_writer_, &byte, 1);
  }

 private:
  int read_timeout_ms() const override { return config_.read_timeout_ms; }

  Result<void> bind(tcp::acceptor& acceptor, const std::string& where, int port) {
    boost::system::error_code error;
    const auto address = asio::ip::make_address(where, error);
    const tcp::endpoint endpoint(address, static_cast<unsigned short>(port));
    if (!error) acceptor.open(endpoint.protocol(), error);
    if (!error) acceptor.set_option(tcp::acceptor::reuse_address(true), error);
    if (!error) acceptor.bind(endpoint, error);
    if (!error) acceptor.listen(asio::socket_base::max_listen_connections, error);
    if (!error) return {};
    return tl::unexpected(problem_of(
        "cannot listen on " + where + " port " + std::to_string(port) + ": " + error.message(),
        "an address of this machine with a free port", "stop the other program, or choose another with --port"));
  }

  // Every request passes here, whatever it asks.
  std::optional<Response> kept_out(const Request& request) {
    if (auto away = turn_away(request, {port_, lan_.host()})) return away;
    if (request.from_network) return lan_.admit(request);
    return {};
  }

  // What is worked out beside: everything as one file, what a pin does to the plan, and made files.
  bool takes_long(const Request& request) const {
    const std::string path = path_of(request.target);
    if (!path.starts_with("/api/")) return false;
    return path == "/api/pin" || config_.made.contains(path.substr(5, path.find('/', 5) - 5));
  }

  void respond(const Request& request, std::function<void(Response)> done) override {
    const Api api{ledger_, clock_, config_, [this] { ask_replan(); }};
    Response response;
    try {
      auto now = at_once(request);
      if (!now && !request.from_network && path_of(request.target) == kEverything) return everything(request, done);
      if (!now && takes_long(request)) {
        const auto later = [this, request, done](Response made) {
          done(compression_.compressed(request, std::move(made)));
        };
        if (aside_.add([api, request] { return answer(api, request); }, later)) return;
        now = too_much();
      }
      response = now ? std::move(*now) : compression_.compressed(request, answer(api, request));
    } catch (const std::exception& error) {
      response = refusal(500, problem_of(std::string("the request failed: ") + error.what(), "an answer", "try again"));
    }
    done(std::move(response));
  }

  static Response too_much() {
    return refusal(503, problem_of("too much is being worked out", "a quieter moment", "ask again later"));
  }

  // Those who are kept out, the desk's own, and slow answers.
  std::optional<Response> at_once(const Request& request) {
    if (auto out = kept_out(request)) return compression_.compressed(request, *out);
    if (!request.from_network) {
      const long long forgotten = lan_.forgotten();
      const auto desk = lan_.desk(request);
      if (lan_.forgotten() != forgotten) close_network();
      if (desk) return *desk;
    }
    if (auto slow = slow_answer(request)) return compression_.compressed(request, *slow);
    return {};
  }

  // One after the other: what is on its way in comes in pieces.
  void everything(const Request& request, const std::function<void(Response)>& done) {
    const auto brought_back = std::make_shared<bool>(false);
    const bool taken = exports_.add(
        [this, request, brought_back] {
          auto made = everything_.desk(request, *brought_back);
          return made ? std::move(*made) : refusal(404, problem_of("there is nothing", "an address", "check it"));
        },
        [this, brought_back, done](Response made) {
          if (*brought_back) {
            look();
            ask_replan();
          }
          done(std::move(made));
        });
    if (!taken) done(too_much());
  }

  // Nothing when the path is not that of a slow answer.
  std::optional<Response> slow_answer(const Request& request) {
    const std::string path = path_of(request.target);
    if (!path.starts_with("/api/") || (request.method != "GET" && request.method != "HEAD")) return {};
    const std::size_t slash = path.find('/', 5);
    const std::string name = path.substr(5, slash == std::string::npos ? slash : slash - 5);
    if (!slow_.offers(name)) return {};
    if (latest_ == 0)
      return refusal(404, problem_of("there is no plan yet", "a stored plan", "give the shop computer a job file"));
    const auto changes = ledger_.changes();
    if (!changes) return refusal(500, changes.error());
    const long long newest = changes->empty() ? 0 : changes->back().id;
    return slow_.ask(name, slash == std::string::npos ? "" : path.substr(slash + 1), latest_ + newest);
  }

  bool wants_events(const Request& request) override {
    return request.method == "GET" && path_of(request.target) == "/api/events" && !kept_out(request);
  }
  bool has_room_for_events(bool from_network) const override {
    std::size_t streams = 0, theirs = 0;
    for (const auto& weak : connections_) {
      const auto connection = weak.lock();
      if (!connection || !connection->is_stream()) continue;
      ++streams;
      theirs += connection->from_network() ? 1 : 0;
    }
    return streams < kMostStreams && (!from_network || theirs < kMostStreamsFromNetwork);
  }
  // A telephone that may still come in connects again by itself.
  void close_network() {
    for (const auto& weak : connections_) {
      const auto connection = weak.lock();
      if (connection && connection->from_network()) connection->close();
    }
  }
  // Says at once where things stand, so that a page that was away catches up.
  std::string greeting() override {
    std::string text = "retry: 2000\n\n";
    if (latest_ > 0) text += plan_event(latest_);
    if (trouble_) text += trouble_event(*trouble_);
    return text;
  }

  void accept(tcp::acceptor& acceptor, std::optional<asio::steady_timer>& retry, bool from_network) {
    acceptor.async_accept([this, &acceptor, &retry, from_network](boost::system::error_code error, tcp::socket socket) {
      if (error == asio::error::operation_aborted) return;
      if (error) {  // out of file handles, most likely: let some close
        retry.emplace(io_, std::chrono::milliseconds(100));
        retry->async_wait([this, &acceptor, &retry, from_network](auto) { accept(acceptor, retry, from_network); });
        return;
      }
      std::erase_if(connections_, [](const auto& weak) { return weak.expired(); });
      const auto theirs = std::count_if(connections_.begin(), connections_.end(), [](const auto& weak) {
        const auto connection = weak.lock();
        return connection && connection->from_network();
      });
      const bool room = connections_.size() < kMostConnections &&
                        (!from_network || theirs < static_cast<std::ptrdiff_t>(kMostFromNetwork));
      if (room) {
        auto connection = std::make_shared<Connection>(std::move(socket), static_cast<Host&>(*this), from_network);
        connections_.push_back(connection);
        connection->start();
      }
      accept(acceptor, retry, from_network);
    });
  }

  void send(const std::string& text) {
    for (const auto& weak : connections_) {
      const auto connection = weak.lock();
      if (connection && connection->is_stream()) connection->send_event(text);
    }
  }

  void beat() {
    heartbeat_.expires_after(std::chrono::milliseconds(config_.heartbeat_ms));
    heartbeat_.async_wait([this](boost::system::error_code error) {
      if (error) return;
      send(": still here\n\n");
      beat();
    });
  }

  // `tackcloth log` and others write to the same ledger.
  void watch() {
    watch_.expires_after(std::chrono::milliseconds(config_.watch_ms));
    watch_.async_wait([this](boost::system::error_code error) {
      if (error) return;
      look();
      watch();
    });
  }

  void look() {
    const auto newest = ledger_.latest_plan_id();
    if (!newest || *newest == latest_) return;
    latest_ = *newest;
    send(plan_event(latest_));
  }

  void ask_replan() {
    {
      const std::lock_guard lock(work_mutex_);
      asked_ = true;
    }
    work_ready_.notify_all();
  }

  // Worker thread. Entries that arrive while a plan is being made are taken together into the next one.
  void work() {
    for (;;) {
      {
        std::unique_lock lock(work_mutex_);
        work_ready_.wait(lock, [this] { return asked_ || ending_; });
        if (ending_) return;
        asked_ = false;
      }
      std::optional<Problem> trouble;
      try {
        if (auto made = replan_(ledger_); !made) trouble = made.error();
      } catch (const std::exception& error) {
        trouble = problem_of(std::string("the plan could not be made anew: ") + error.what(), "a plan",
                             "the entry is kept; mend the job and start again");
      }
      asio::post(io_, [this, trouble = std::move(trouble)] {
        trouble_ = trouble;
        look();
        if (trouble_)
          send(trouble_event(*trouble_));
        else
          send("event: settled\ndata: {}\n\n");
      });
    }
  }

  Config config_;
  ledger::Ledger& ledger_;
  Replan replan_;
  Clock clock_;
  asio::io_context io_{1};
  tcp::acceptor acceptor_, lan_acceptor_;
  Lan lan_;
  Everything everything_;
  asio::posix::stream_descriptor stop_reader_;
  asio::steady_timer heartbeat_, watch_;
  std::optional<asio::steady_timer> retry_, lan_retry_;
  std::vector<std::weak_ptr<Connection>> connections_;
  std::optional<Problem> trouble_;
  long long latest_ = 0;
  int port_ = 0, stop_writer_ = -1;
  char stop_byte_[1] = {};

  std::mutex work_mutex_;
  std::condition_variable work_ready_;
  bool asked_ = false, ending_ = false;
  Compression compression_;
  Slow slow_;
  Aside aside_, exports_;
  std::thread worker_;  // last: everything it uses is there before it starts
};

}  // namespace

Result<std::unique_ptr<Server>> Server::start(const Config& config, ledger::Ledger& ledger, Replan replan,
                                              Clock clock) {
  if (config.port < 0 || config.port > 65535) {
    return tl::unexpected(
        problem_of("the port is " + std::to_string(config.port), "0 to 65535", "choose another with --port"));
  }
  auto server = std::make_unique<RunningServer>(config, ledger, std::move(replan), std::move(clock));
  if (auto ready = server->listen(); !ready) return tl::unexpected(ready.error());
  return server;
}

}  // namespace tackcloth::service
