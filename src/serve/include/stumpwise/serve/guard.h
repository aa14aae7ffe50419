#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Who may ask. A server on loopback can be reached by every web page that the user's browser shows, and by
/// every program and user of the machine. Three locks, each for another thief:
///   Host     a page whose name was re-bound to 127.0.0.1 (DNS rebinding) still sends its own name as Host;
///   Origin   a foreign page that posts a form or fetches says where it comes from (Origin, Sec-Fetch-Site);
///   token    everybody else, other users of the machine too, does not know 32 random bytes of this run.
namespace stumpwise::serve {

/// What matters of a request's head.
struct Head {
  std::string method;
  std::string path;
  std::vector<std::string> hosts;    ///< every Host header
  std::vector<std::string> origins;  ///< every Origin header
  std::string fetch_site;            ///< Sec-Fetch-Site; empty where not sent
  std::string token;                 ///< X-Stumpwise-Token
  std::string content_type;
};

struct Refusal {
  int status = 403;
  std::string code, message, mend;
};

/// Is `host` 127.0.0.1, localhost or [::1] with exactly this port?
bool is_own_host(std::string_view host, int port);
/// Is `origin` http:// followed by such a host?
bool is_own_origin(std::string_view origin, int port);
/// Takes the same time wherever the texts differ; texts of another length are unequal.
bool same_secret(std::string_view given, std::string_view wanted);

/// Why the request is refused, or nothing. Every request needs one own Host. What lies under /api/ needs the
/// token as well, no foreign Origin or Sec-Fetch-Site, and for POST a body that is declared as
/// application/json.
std::optional<Refusal> refusal(const Head& head, int port, std::string_view token);

}  // namespace stumpwise::serve
