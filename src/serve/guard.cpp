#include "stumpwise/serve/guard.h"

#include "stumpwise/base/text.h"

namespace stumpwise::serve {
namespace {

constexpr std::string_view kScheme = "http://";

bool is_json(std::string_view content_type) {
  return base::trim(content_type.substr(0, content_type.find(';'))) == "application/json";
}

bool foreign(const Head& head, int port) {
  for (const std::string& origin : head.origins)
    if (!is_own_origin(origin, port)) return true;
  if (!head.fetch_site.empty() && head.fetch_site != "same-origin" && head.fetch_site != "none") return true;
  // A browser names the origin of every POST. One that says Sec-Fetch-Site and no Origin hides where it comes
  // from.
  return head.method == "POST" && head.origins.empty() && !head.fetch_site.empty();
}

}  // namespace

bool is_own_host(std::string_view host, int port) {
  const std::string end = ":" + std::to_string(port);
  if (host.size() <= end.size() || host.substr(host.size() - end.size()) != end) return false;
  const std::string name = base::lower(host.substr(0, host.size() - end.size()));
  return name == "127.0.0.1" || name == "localhost" || name == "[::1]";
}

bool is_own_origin(std::string_view origin, int port) {
  return origin.substr(0, kScheme.size()) == kScheme && is_own_host(origin.substr(kScheme.size()), port);
}

bool same_secret(std::string_view given, std::string_view wanted) {
  if (given.size() != wanted.size()) return false;
  unsigned differ = 0;
  for (std::size_t i = 0; i < wanted.size(); ++i)
    differ |=
        static_cast<unsigned>(static_cast<unsigned char>(given[i]) ^ static_cast<unsigned char>(wanted[i]));
  return differ == 0;
}

std::optional<Refusal> refusal(const Head& head, int port, std::string_view token) {
  if (head.hosts.size() != 1 || !is_own_host(head.hosts.front(), port))
    return Refusal{
        403, "foreign_host", "this server answers only under the names of this machine",
        "Open http://127.0.0.1:" + std::to_string(port) + "/ with the token that was printed at the start."};
  if (head.path.rfind("/api/", 0) != 0) return std::nullopt;
  if (foreign(head, port))
    return Refusal{403, "foreign_origin", "another page asked; only this server's own page may",
                   "Open the printed address itself."};
  if (!same_secret(head.token, token))
    return Refusal{
        401, "no_token", "the token of this run is missing or is that of another run",
        "Open the whole address that `stumpwise serve` printed, or send the header X-Stumpwise-Token."};
  if (head.method == "POST" && !is_json(head.content_type))
    return Refusal{415, "no_json", "the body must be declared as application/json", ""};
  return std::nullopt;
}

}  // namespace stumpwise::serve
