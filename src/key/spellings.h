#pragma once
#include <string>
#include <string_view>

namespace stumpwise::key {

/// `text` with every `from` written as `to`; `from` is not empty.
inline std::string respelt(std::string_view text, std::string_view from, std::string_view to) {
  std::string result;
  std::size_t done = 0;
  for (auto at = text.find(from); at != std::string_view::npos; at = text.find(from, done)) {
    result.append(text.substr(done, at - done)).append(to);
    done = at + from.size();
  }
  return result.append(text.substr(done));
}

}  // namespace stumpwise::key
