#pragma once
// Private to book: numbers to and from bytes in a fixed order, whatever the machine's.
#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#include <string>

#include "stumpwise/base/error.h"

namespace stumpwise::book {

template <class Number>
void put_little(std::string& to, Number value) {
  std::array<char, sizeof(Number)> bytes{};
  std::memcpy(bytes.data(), &value, sizeof(Number));
  if constexpr (std::endian::native == std::endian::little)
    to.append(bytes.data(), bytes.size());
  else
    to.append(bytes.rbegin(), bytes.rend());
}

/// Reads numbers one after another; Error(bad_format) past the end.
class ByteReader {
 public:
  ByteReader(const void* bytes, std::size_t size) : at_(static_cast<const char*>(bytes)), left_(size) {}
  void set_little(bool little) { little_ = little; }
  std::size_t left() const { return left_; }

  template <class Number>
  Number take() {
    std::array<char, sizeof(Number)> bytes{};
    if (left_ < bytes.size())
      throw Error(ErrorCode::bad_format, "a geometry or track in the book ends too early");
    for (std::size_t i = 0; i < bytes.size(); ++i)
      bytes[little_ == (std::endian::native == std::endian::little) ? i : bytes.size() - 1 - i] = at_[i];
    at_ += bytes.size();
    left_ -= bytes.size();
    Number value;
    std::memcpy(&value, bytes.data(), sizeof(Number));
    return value;
  }

 private:
  const char* at_;
  std::size_t left_;
  bool little_ = true;
};

}  // namespace stumpwise::book
