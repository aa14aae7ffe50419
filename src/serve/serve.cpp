#include "stumpwise/serve/serve.h"

#include <fmt/format.h>
#include <httplib.h>
#include <sys/socket.h>

#include <atomic>
#include <cstdio>
#include <thread>

#include "api.h"
#include "page_files.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/serve/guard.h"

namespace stumpwise::serve {
namespace {

constexpr const char* kLoopback = "127.0.0.1";
constexpr std::size_t kLargestBody = 64 * 1024;
/// Browsers open connections ahead of need and leave them idle: the pool must outlast them, and their
/// patience be short.
constexpr std::size_t kThreads = 16;
constexpr int kIdleSeconds = 2, kReadSeconds = 5, kWriteSeconds = 30;

/// Only what this server sends may run, be shown or be asked; no page may frame it.
constexpr const char* kPagePolicy =
    "default-src 'none'; script-src 'self'; worker-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
/// A sheet is a document with styles and pictures of its own, and runs nothing.
constexpr const char* kSheetPolicy =
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'";

constexpr std::string_view kNotBuilt =
    "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>Stumpwise</title><h1>The page was not "
    "built</h1>"
    "<p>The server runs, but this program was built without its page. Build it with <code>./dev build</code> "
    "and start "
    "again. The commands work without the page: <code>stumpwise --help</code>.</p></html>";

std::string_view type_of(std::string_view path) {
  static constexpr std::pair<std::string_view, std::string_view> kTypes[] = {
      {".html", "text/html; charset=utf-8"},
      {".js", "text/javascript; charset=utf-8"},
      {".css", "text/css; charset=utf-8"},
      {".svg", "image/svg+xml"},
      {".png", "image/png"},
      {".json", "application/json"}};
  for (const auto& [ending, type] : kTypes)
    if (path.size() >= ending.size() && path.substr(path.size() - ending.size()) == ending) return type;
  return "application/octet-stream";
}

Answer page_file(const std::string& path) {
  const std::string wanted = path == "/" ? "/index.html" : path;
  for (const PageFile& file : page_files()) {
    if (file.path != wanted) continue;
    // The names under /assets/ hold a hash of their content; everything else is asked for again.
    const bool fixed = wanted.rfind("/assets/", 0) == 0;
    return {200,
            std::string(type_of(wanted)),
            std::string(file.bytes),
            {{"Cache-Control", fixed ? "public, max-age=31536000, immutable" : "no-cache"}}};
  }
  if (wanted == "/index.html") return {503, "text/html; charset=utf-8", std::string(kNotBuilt), {}};
  return failure(404, "no_page", "there is no such page", "Open / instead.");
}

Head head_of(const httplib::Request& request) {
  Head head;
  head.method = request.method;
  head.path = request.path;
  for (std::size_t i = 0; i < request.get_header_value_count("Host"); ++i)
    head.hosts.push_back(request.get_header_value("Host", i));
  for (std::size_t i = 0; i < request.get_header_value_count("Origin"); ++i)
    head.origins.push_back(request.get_header_value("Origin", i));
  head.fetch_site = request.get_header_value("Sec-Fetch-Site");
  head.token = request.get_header_value("X-Stumpwise-Token");
  head.content_type = request.get_header_value("Content-Type");
  return head;
}

/// Sends an answer as it is. The body goes through a provider: the library would otherwise compress it, which
/// costs more than it saves between two programs of one machine.
void send(Answer answer, httplib::Response& response, const char* policy) {
  response.status = answer.status;
  response.set_header("Content-Security-Policy", policy);
  response.set_header("X-Content-Type-Options", "nosniff");
  response.set_header("X-Frame-Options", "DENY");
  response.set_header("Referrer-Policy", "no-referrer");
  response.set_header("Cross-Origin-Opener-Policy", "same-origin");
  response.set_header("Cross-Origin-Resource-Policy", "same-origin");
  bool cached = false;
  for (const auto& [name, value] : answer.headers) {
    response.set_header(name, value);
    cached = cached || name == "Cache-Control";
  }
  if (!cached) response.set_header("Cache-Control", "no-store");
  const auto body = std::make_shared<const std::string>(std::move(answer.body));
  response.set_content_provider(body->size(), answer.type,
                                [body](std::size_t offset, std::size_t length, httplib::DataSink& sink) {
                                  return sink.write(body->data() + offset, length);
                                });
}

class LoopbackServer {
 public:
  explicit LoopbackServer(const ServeOptions& options) : api_(options.book), token_(base::random_hex(32)) {
    configure();
    port_ = bind(options.port);
  }

  std::string url() const { return fmt::format("http://{}:{}/#token={}", kLoopback, port_, token_); }

  void run() {
    std::atomic<bool> ended{false};
    std::thread watcher([&] {
      while (!ended) {
        if (base::interrupted() && server_.is_running()) {
          server_.stop();
          return;
        }
        std::this_thread::sleep_for(std::chrono::milliseconds{50});
      }
    });
    server_.listen_after_bind();
    ended = true;
    watcher.join();
  }

 private:
  void configure() {
    server_.new_task_queue = [] { return new httplib::ThreadPool(kThreads); };
    // One request a connection: what is left unread of a refused one can then never be taken for the next.
    server_.set_keep_alive_max_count(1);
    server_.set_keep_alive_timeout(kIdleSeconds);
    server_.set_read_timeout(kReadSeconds);
    server_.set_write_timeout(kWriteSeconds);
    server_.set_payload_max_length(kLargestBody);
    // The library's own choice would let a second server share the port unnoticed.
    server_.set_socket_options([](socket_t socket) {
      const int yes = 1;
      setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    });
    // A packed or endless body has no length that could be checked before it is read.
    server_.set_pre_routing_handler([](const httplib::Request& request, httplib::Response& response) {
      if (!request.has_header("Content-Encoding") && !request.has_header("Transfer-Encoding"))
        return httplib::Server::HandlerResponse::Unhandled;
      send(failure(415, "packed_body", "a body must be plain and of a declared length", ""), response,
           kPagePolicy);
      return httplib::Server::HandlerResponse::Handled;
    });
    server_.set_error_handler([](const httplib::Request&, httplib::Response& response) {
      if (response.has_header("Content-Security-Policy")) return;
      const bool large = response.status == 413;
      send(failure(response.status, large ? "too_large" : "bad_request",
                   large ? fmt::format("the body is larger than {} bytes", kLargestBody)
                         : "the request cannot be read",
                   ""),
           response, kPagePolicy);
    });
    const auto handler = [this](const httplib::Request& request, httplib::Response& response) {
      handle(request, response);
    };
    server_.Get(".*", handler);
    server_.Post(".*", handler);
    server_.Put(".*", handler);
    server_.Patch(".*", handler);
    server_.Delete(".*", handler);
    server_.Options(".*", handler);
  }

  int bind(int port) {
    if (port < 0 || port > 65535)
      throw Error(ErrorCode::bad_usage, fmt::format("--port {}: 0 to 65535", port));
    const int bound =
        port == 0 ? server_.bind_to_any_port(kLoopback) : (server_.bind_to_port(kLoopback, port) ? port : -1);
    if (bound < 0)
      throw Error(ErrorCode::not_possible,
                  fmt::format("port {} of this machine is taken or not allowed", port),
                  "Give another with --port, or --port 0 for any that is free.");
    return bound;
  }

  void handle(const httplib::Request& request, httplib::Response& response) {
    if (const auto refused = refusal(head_of(request), port_, token_))
      return send(failure(refused->status, refused->code, refused->message, refused->mend), response,
                  kPagePolicy);
    const bool reads = request.method == "GET" || request.method == "HEAD";
    if (!reads && request.method != "POST")
      return send(failure(405, "wrong_method", "GET and POST are answered", ""), response, kPagePolicy);
    if (request.path.rfind("/api/", 0) == 0)
      return send(api_.answer({reads ? "GET" : "POST", request.path,
                               Query({request.params.begin(), request.params.end()}), request.body}),
                  response, kPagePolicy);
    if (!reads)
      return send(failure(405, "wrong_method", "pages are asked with GET", ""), response, kPagePolicy);
    if (request.path.rfind("/sheets/", 0) == 0) {
      const auto html = api_.sheet(request.path);
      if (html) return send({200, "text/html; charset=utf-8", *html, {}}, response, kSheetPolicy);
      return send(failure(404, "no_sheet", "this sheet is gone", "Ask for it again on the page."), response,
                  kPagePolicy);
    }
    send(page_file(request.path), response, kPagePolicy);
  }

  Api api_;
  std::string token_;
  httplib::Server server_;
  int port_ = 0;
};

}  // namespace

int serve(const ServeOptions& options) {
  base::catch_interrupts();
  LoopbackServer server(options);
  if (options.print_url) {
    std::fputs(fmt::format("The page stands on this machine only. Open the whole address; its end is the key "
                           "of this run:\n  {}\nEnd it with Ctrl-C.\n",
                           server.url())
                   .c_str(),
               stdout);
    std::fflush(stdout);
  }
  server.run();
  return 0;
}

}  // namespace stumpwise::serve
