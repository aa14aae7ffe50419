#pragma once
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "units.h"

namespace stumpwise::cli {

using Json = nlohmann::json;

inline constexpr std::size_t kWidth = 80;

/// `text` in lines of at most kWidth characters; the first begins after `indent` blanks, the others after
/// `indent` + `hang`. A word longer than a line stands alone.
std::string wrapped(std::string_view text, std::size_t indent = 0, std::size_t hang = 0);
/// Characters (UTF-8 code points), not bytes.
std::size_t width_of(std::string_view text);
/// `text` with blanks up to `width` characters.
std::string padded(std::string_view text, std::size_t width);

/// Plain text for a terminal, put together line by line. Control characters of outside text are dropped.
class Page {
 public:
  Page& line(std::string_view text = {});
  Page& wrap(std::string_view text, std::size_t indent = 0, std::size_t hang = 0);
  /// The first line of an answer; says at once where the data are invented.
  Page& head(bool is_invented, const std::string& text);
  /// An empty line and a title; what follows belongs to it.
  Page& title(std::string_view text);
  /// A list of texts as wrapped "- ..." lines under a title; nothing where the list is empty.
  Page& bullets(std::string_view heading, const Json& texts);
  /// Notes and cautions of an answer: they stand under every result.
  Page& closing(const Json& answer);
  const std::string& text() const { return text_; }

 private:
  std::string text_;
};

/// Values of an answer; a missing or null key, or another kind of value, is no fault here: "", nothing, an
/// empty list.
std::string words(const Json& json, const char* key);
std::optional<double> number(const Json& json, const char* key);
long long whole(const Json& json, const char* key);
bool yes(const Json& json, const char* key);
const Json& items(const Json& json, const char* key);
const Json& part(const Json& json, const char* key);
/// The texts of a list, joined.
std::string joined(const Json& json, const char* key, std::string_view separator = ", ");

/// The data of the answer are the demo's.
bool invented(const Json& answer);
/// "1 find", "3 finds".
std::string counted(long long count, const std::string& one);
/// The answer with the lengths in its notes in the user's units.
Json with_notes_in(const Units& units, const Json& answer);

}  // namespace stumpwise::cli
