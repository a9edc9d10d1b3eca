#include <pthread.h>
#include <signal.h>

#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <optional>
#include <sstream>
#include <thread>

#include "cli/actual_page.h"
#include "cli/apart_page.h"
#include "cli/clock.h"
#include "cli/command.h"
#include "cli/cut_desk.h"
#include "cli/job_page.h"
#include "cli/look_pages.h"
#include "cli/paper_page.h"
#include "cli/pin_page.h"
#include "cli/problems.h"
#include "cli/sooner_json.h"
#include "cli/stored_plan.h"
#include "cli/stored_shelf.h"
#include "cli/template_page.h"
#include "cli/trial_page.h"
#include "cli/worth_page.h"
#include "plan/step_mark.h"
#include "service/lan_address.h"
#include "service/service.h"

namespace tackcloth::cli {
namespace {

namespace fs = std::filesystem;

struct ServeCommand {
  int port = 8420;
  std::string data = "tackcloth.db", job, web;
  PlanArgs args;
  std::optional<std::string> lan;  // empty: the address is found
  bool json = false;
};

// Step ids such as P1-07 belong to one job, so a log must not be read against another.
Result<void> same_job(ledger::Ledger& ledger, const std::string& job_name, const std::string& data) {
  const auto latest = ledger.latest_plan();
  if (!latest) return tl::unexpected(latest.error());
  const auto entries = ledger.entries();
  if (!entries) return tl::unexpected(entries.error());
  if (!latest->has_value() || entries->empty() || (*latest)->job_name == job_name) return {};
  return tl::unexpected(Problem{data, 0, 0, "this data file keeps the log of the job '" + (*latest)->job_name + "'",
                                "one data file for each job", "name another with --data"});
}

Results<void> import_job(ledger::Ledger& ledger, const ServeCommand& command, const Context& context) {
  std::ifstream in(command.job, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  if (!in) return one({command.job, 0, 0, "the job file cannot be read", "a TOML file", "check the path"});
  const std::string name = fs::absolute(command.job).lexically_normal().string();
  if (auto same = same_job(ledger, name, command.data); !same) return one(same.error());
  PlanArgs args = command.args;
  const std::string now = to_iso(wall_clock());
  args.asked_at = now;
  if (!args.weather.empty()) args.weather = fs::absolute(args.weather).lexically_normal().string();
  for (std::string& path : args.learn)
    if (path.rfind("postgresql://", 0) != 0) path = fs::absolute(path).lexically_normal().string();
  // Serving the same job again must not move its start.
  if (const auto latest = ledger.latest_plan(); latest && latest->has_value() && (*latest)->job_name == name) {
    if (const auto before = from_options_json((*latest)->options_json); before) args.asked_at = before->asked_at;
  }
  const auto plan = plan_and_store(ledger, text.str(), name, args, now, context);
  if (!plan) return tl::unexpected(plan.error());
  return {};
}

// Runs the server until SIGINT or SIGTERM, which must already be blocked in every thread.
void run_until_signal(service::Server& server, const sigset_t& signals) {
  std::thread waiter([&] {
    int caught = 0;
    sigwait(&signals, &caught);
    server.stop();
  });
  server.run();
  pthread_kill(waiter.native_handle(), SIGTERM);  // should run() have ended by itself
  waiter.join();
}

void run_serve(const ServeCommand& command, Context& context) {
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGINT);
  sigaddset(&signals, SIGTERM);
  pthread_sigmask(SIG_BLOCK, &signals, nullptr);

  auto ledger = ledger::open(command.data);
  if (!ledger) {
    context.exit_code = report({ledger.error()});
    return;
  }
  if (!command.job.empty()) {
    if (auto imported = import_job(**ledger, command, context); !imported) {
      context.exit_code = report(imported.error());
      return;
    }
  }
  service::Config config;
  config.port = command.port;
  if (command.lan) {
    const auto address = command.lan->empty() ? service::own_local_address() : service::local_address(*command.lan);
    if (!address) {
      context.exit_code = report({address.error()});
      return;
    }
    config.lan_address = *address;
  }
  config.web_root = command.web.empty() ? context.web_dir : command.web;
  config.slow["sooner"] = [&context](ledger::Ledger& store, const std::string&,
                                     const std::function<bool()>& ending) -> Result<std::string> {
    const auto helps = sooner_stored(store, context, [&ending](int, int) { return !ending(); });
    if (!helps) return tl::unexpected(helps.error().front());
    return to_json(*helps);
  };
  const auto album = std::make_shared<Album>();
  const auto photos = std::make_shared<StoredPhotos>();
  config.slow["photo"] = [photos, album](ledger::Ledger& store, const std::string& id,
                                         const std::function<bool()>&) -> Result<std::string> {
    auto page = photo_page(store, *photos, id);
    if (!page) return tl::unexpected(page.error());
    album->put(std::move(page->pictures));
    return page->json;
  };
  config.slow["looks"] = [&context, album, photos](ledger::Ledger& store, const std::string&,
                                                   const std::function<bool()>&) -> Result<std::string> {
    auto page = looks_page(store, *photos, context);
    if (!page) return tl::unexpected(page.error().front());
    album->put(std::move(page->pictures));
    return page->json;
  };
  config.slow["boards"] = [&context, album, photos](ledger::Ledger& store, const std::string& about,
                                                    const std::function<bool()>& ending) -> Result<std::string> {
    auto page = boards_page(store, *photos, about, context, [&ending](int, int) { return !ending(); });
    if (!page) return tl::unexpected(page.error().front());
    album->put(std::move(page->pictures));
    return page->json;
  };
  const auto trials = std::make_shared<Trials>();
  config.trial = [&context, trials](ledger::Ledger& store, const std::string& body) {
    return trials->keep(store, body, to_iso(wall_clock()), context);
  };
  config.slow["trial"] = [&context, trials](ledger::Ledger& store, const std::string& name,
                                            const std::function<bool()>& ending) {
    return trials->answer(store, name, to_iso(wall_clock()), context, ending);
  };
  config.picture = [album](const std::string& path) { return album->find(path); };
  config.made["template"] = [&context](ledger::Ledger& store, const std::string& about, const std::string& query) {
    return template_page(store, about, query, context);
  };
  config.made["labels"] = [&context](ledger::Ledger& store, const std::string& about, const std::string& query) {
    return labels_page(store, about, query, context);
  };
  const auto cuts = std::make_shared<CutDesk>();
  config.made["cut"] = [&context, cuts](ledger::Ledger& store, const std::string& about, const std::string& query) {
    return cuts->page(store, about, query, context);
  };
  config.made["paper"] = [&context, photos](ledger::Ledger& store, const std::string& about, const std::string& query) {
    return paper_page(store, *photos, about, query, context);
  };
  config.made["offer"] = [&context](ledger::Ledger& store, const std::string& about, const std::string& query) {
    return offer_page(store, about, query, context);
  };
  config.made["worth"] = worth_page(context);
  config.made["actual"] = [&context](ledger::Ledger& store, const std::string&, const std::string& query) {
    return actual_page(store, query, context);
  };
  config.made["year"] = [&context](ledger::Ledger& store, const std::string&, const std::string& query) {
    return year_page(store, query, to_iso(wall_clock()), context);
  };
  config.apart = [&context](ledger::Ledger& store) { return apart_page(store, to_iso(wall_clock()), context); };
  config.accepts = [&context](ledger::Ledger& store, const ledger::StoredChange& change) {
    return accepts(store, change, context);
  };
  config.job = [&context](ledger::Ledger& store) { return job_page(store, context); };
  config.choices = [&context] { return choices_page(context); };
  config.measure = [&context](ledger::Ledger& store, const std::string& piece) {
    return measured_page(store, piece, context);
  };
  config.pin = [&context](ledger::Ledger& store, const std::string& asked) {
    return pin_asked(store, asked, to_iso(wall_clock()), context);
  };
  config.stock = [&context](ledger::Ledger& store) { return shelf_page(store, to_iso(wall_clock()), context); };
  config.stock_told = [&context](ledger::Ledger& store, const std::string& asked) {
    return stock_told(store, asked, to_iso(wall_clock()), context);
  };
  config.mark = [](const std::string& plan_json, const std::string& step) { return plan::mark_of(plan_json, step); };
  const auto clock = [] { return to_iso(wall_clock()); };
  const auto replan = [&context](ledger::Ledger& store) -> Result<std::string> {
    const auto plan = replan_and_store(store, to_iso(wall_clock()), context);
    if (!plan) return tl::unexpected(plan.error().front());
    return plan::to_json(*plan);
  };
  auto server = service::Server::start(config, **ledger, replan, clock);
  if (!server) {
    context.exit_code = report({server.error()});
    return;
  }
  const std::string address = "http://127.0.0.1:" + std::to_string((*server)->port()) + "/";
  if (command.json) {
    std::cout << "{\"address\":\"" << address << "\",";
    if (const std::string lan = (*server)->lan_url(); !lan.empty()) std::cout << "\"lan\":\"" << lan << "\",";
    std::cout << "\"schema_version\":" << (*ledger)->schema_version() << "}" << std::endl;
  } else {
    std::cout << "The plan is at " << address << " (Ctrl-C ends)" << std::endl;
    if (const std::string lan = (*server)->lan_url(); !lan.empty()) {
      std::cout << "A telephone on this network opens " << lan << " and types " << (*server)->pairing_code()
                << " (good for 10 minutes, for one telephone; more under The shop on this machine's page).\n"
                << "What goes over this network is not encrypted: use it only on one you trust." << std::endl;
    }
  }
  run_until_signal(**server, signals);
}

}  // namespace

void add_serve(CLI::App& app, Context& context) {
  auto command = std::make_shared<ServeCommand>();
  CLI::App* sub = app.add_subcommand("serve", "The plan as a page on this machine; logs what happens at the bench");
  sub->add_option("--port", command->port, "0 takes any free port")->check(CLI::Range(0, 65535));
  sub->add_option("--data", command->data, "FILE.db, or postgresql://user@host/database");
  sub->add_option("--job", command->job, "plan this job file first");
  sub->add_option("--web", command->web, "directory of the built page");
  sub->add_option("--lan", command->lan,
                  "let paired telephones on the local network in, at this machine's ADDRESS there")
      ->expected(0, 1)
      ->type_name("[ADDRESS]");
  sub->add_flag("--json", command->json, "say the address as JSON");
  add_plan_options(*sub, command->args);
  sub->callback([command, &context] { run_serve(*command, context); });
}

}  // namespace tackcloth::cli
