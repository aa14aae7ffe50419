#pragma once
#include <span>
#include <vector>

#include "stumpwise/key/matrix.h"

namespace stumpwise::key {

/// Worth of a reading: what it tells of the name plus this times what it tells of "dangerous or not"
/// (docs/key.md).
inline constexpr double kDangerWeight = 1;

/// What one more reading is expected to tell, in nats.
struct Gain {
  double names = 0;   ///< about which taxon it is: mutual information of outcome and taxon
  double danger = 0;  ///< about whether it is a dangerous one
};

/// What to look at next. Everything that does not depend on the readings is worked out once, so that a
/// ranking is a few sums: gain = H(outcome) - sum_t p(t) H(outcome | t), with the outcomes of a number in
/// classes. Cost: characters x states x taxa multiplications.
class Chooser {
 public:
  explicit Chooser(const Matrix& matrix);
  std::size_t outcomes(std::size_t character) const { return rows_[character].outcomes; }
  /// P(outcome | taxon), "none of these" last.
  std::span<const double> chances(std::size_t character, std::size_t outcome) const;
  /// `posterior` as posterior() gives it. Characters that are `asked` gain nothing.
  std::vector<Gain> gains(std::span<const double> posterior, const std::vector<bool>& asked) const;

 private:
  struct Row {
    std::size_t outcomes = 0;
    std::vector<double> chance;   ///< outcome by outcome, taxa inside
    std::vector<double> entropy;  ///< H(outcome | taxon)
  };
  Row row_of(const Matrix& matrix, std::size_t character) const;
  std::size_t width_ = 0;  ///< taxa and "none of these"
  std::vector<Row> rows_;
  std::vector<double> dangerous_;  ///< 1 for a dangerous taxon
};

}  // namespace stumpwise::key
