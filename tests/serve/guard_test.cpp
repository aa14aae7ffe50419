// Who may ask the server on loopback. Believed by hand: each row is an attack or a visit that is written out.
#include "stumpwise/serve/guard.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace stumpwise::serve {
namespace {

constexpr int kPort = 7311;
const std::string kToken(64, 'a');

Head own(const std::string& method, const std::string& path) {
  Head head;
  head.method = method;
  head.path = path;
  head.hosts = {"127.0.0.1:7311"};
  head.token = kToken;
  head.content_type = "application/json";
  return head;
}

int status(const Head& head) {
  const auto refused = refusal(head, kPort, kToken);
  return refused ? refused->status : 200;
}

TEST(Host, names_of_this_machine_with_this_port_alone) {
  for (const char* host : {"127.0.0.1:7311", "localhost:7311", "LocalHost:7311", "[::1]:7311"})
    EXPECT_TRUE(is_own_host(host, kPort)) << host;
  for (const char* host :
       {"", ":7311", "127.0.0.1", "127.0.0.1:73110", "127.0.0.1:731", "127.0.0.1:7312", "127.0.0.2:7311",
        "evil.example:7311", "127.0.0.1.evil.example:7311", "localhost.:7311", " localhost:7311",
        "evil@localhost:7311", "::1:7311", "0.0.0.0:7311"})
    EXPECT_FALSE(is_own_host(host, kPort)) << host;
}

TEST(Origin, plain_http_of_this_machine_alone) {
  EXPECT_TRUE(is_own_origin("http://127.0.0.1:7311", kPort));
  for (const char* origin :
       {"", "null", "https://127.0.0.1:7311", "http://127.0.0.1", "http://127.0.0.1:7312",
        "http://evil.example", "http://127.0.0.1:7311/", "127.0.0.1:7311"})
    EXPECT_FALSE(is_own_origin(origin, kPort)) << origin;
}

TEST(Secret, is_equal_only_as_a_whole) {
  EXPECT_TRUE(same_secret(kToken, kToken));
  EXPECT_FALSE(same_secret("", kToken));
  EXPECT_FALSE(same_secret(kToken.substr(1), kToken));
  EXPECT_FALSE(same_secret(kToken + "a", kToken));
}

RC_GTEST_PROP(Secret, differs_wherever_one_byte_differs, ()) {
  const auto at = *rc::gen::inRange<std::size_t>(0, kToken.size());
  const auto byte = *rc::gen::arbitrary<char>();
  std::string given = kToken;
  given[at] = byte;
  RC_ASSERT(same_secret(given, kToken) == (byte == 'a'));
}

TEST(Refusal, the_own_page_and_a_command_line_client_are_let_in) {
  EXPECT_EQ(status(own("GET", "/api/v1/status")), 200);
  EXPECT_EQ(status(own("POST", "/api/v1/plan")), 200) << "no browser: neither Origin nor Sec-Fetch-Site";
  Head page = own("POST", "/api/v1/plan");
  page.origins = {"http://127.0.0.1:7311"};
  page.fetch_site = "same-origin";
  page.content_type = "application/json; charset=utf-8";
  EXPECT_EQ(status(page), 200);
}

TEST(Refusal, the_page_itself_needs_no_token_but_an_own_host) {
  Head head = own("GET", "/");
  head.token.clear();
  EXPECT_EQ(status(head), 200);
  head.hosts = {"evil.example:7311"};
  EXPECT_EQ(status(head), 403);
}

TEST(Refusal, exactly_one_host) {
  Head head = own("GET", "/api/v1/status");
  head.hosts.clear();
  EXPECT_EQ(status(head), 403);
  head.hosts = {"127.0.0.1:7311", "evil.example"};
  EXPECT_EQ(status(head), 403);
}

TEST(Refusal, a_re_bound_name_is_told_apart_even_with_the_token) {
  Head head = own("GET", "/api/v1/status");
  head.hosts = {"evil.example:7311"};
  const auto refused = refusal(head, kPort, kToken);
  ASSERT_TRUE(refused);
  EXPECT_EQ(refused->code, "foreign_host");
  EXPECT_NE(refused->mend.find("127.0.0.1:7311"), std::string::npos);
  EXPECT_EQ(refused->mend.find(kToken), std::string::npos) << "a refusal never tells the token";
}

TEST(Refusal, foreign_pages) {
  Head head = own("POST", "/api/v1/plan");
  head.origins = {"http://evil.example"};
  EXPECT_EQ(status(head), 403);
  head.origins = {"null"};
  EXPECT_EQ(status(head), 403);
  head.origins = {"http://127.0.0.1:7311", "http://evil.example"};
  EXPECT_EQ(status(head), 403);
  head.origins.clear();
  head.fetch_site = "cross-site";
  EXPECT_EQ(status(head), 403);
  head.fetch_site = "same-site";
  EXPECT_EQ(status(head), 403) << "another port of this machine";
  head.fetch_site = "same-origin";
  EXPECT_EQ(status(head), 403) << "a browser that posts names its Origin";
}

TEST(Refusal, token_and_kind_of_body) {
  Head head = own("GET", "/api/v1/status");
  head.token = std::string(64, 'b');
  EXPECT_EQ(status(head), 401);
  head = own("POST", "/api/v1/plan");
  for (const char* type :
       {"", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data", "application/jsonp"}) {
    head.content_type = type;
    EXPECT_EQ(status(head), 415) << type;
  }
}

}  // namespace
}  // namespace stumpwise::serve
