#include "stumpwise/key/chooser.h"

#include <cmath>
#include <numbers>

namespace stumpwise::key {

namespace {

double below(const KeyCell& cell, double value) {
  return 0.5 * std::erfc((cell.mean - value) / (cell.sd * std::numbers::sqrt2));
}

/// Chance that a number falls into [low, high), misreadings included.
double chance_between(const KeyCharacter& character, const KeyCell& cell, double low, double high) {
  const double even = (std::min(high, character.range) - low) / character.range;
  if (!cell.recorded) return std::max(even, 0.0);
  const double own = (high >= character.range ? 1 : below(cell, high)) - (low <= 0 ? 0 : below(cell, low));
  return (1 - character.misread) * own + character.misread * std::max(even, 0.0);
}

/// P(outcome | taxon) of one character.
double chance_of(const KeyCharacter& character, const KeyCell& cell, std::size_t index, std::size_t outcome) {
  if (!character.numeric())
    return likelihood(character, cell, {index, States{1} << outcome, 0, character.misread});
  const double low = outcome == 0 ? 0 : character.cuts[outcome - 1];
  const double high = outcome == character.cuts.size() ? character.range : character.cuts[outcome];
  return chance_between(character, cell, low, high);
}

double entropy_term(double p) {
  return p > 0 ? -p * std::log(p) : 0;
}

}  // namespace

Chooser::Chooser(const Matrix& matrix) : width_(matrix.taxa.size() + 1) {
  for (std::size_t c = 0; c < matrix.characters.size(); ++c) rows_.push_back(row_of(matrix, c));
  for (const KeyTaxon& taxon : matrix.taxa) dangerous_.push_back(taxon.dangerous ? 1 : 0);
  dangerous_.push_back(1);  // what is not in the book may be anything
}

Chooser::Row Chooser::row_of(const Matrix& matrix, std::size_t index) const {
  const KeyCharacter& character = matrix.characters[index];
  Row row;
  row.outcomes = character.numeric() ? character.cuts.size() + 1 : character.states.size();
  row.chance.resize(row.outcomes * width_);
  row.entropy.resize(width_);
  const std::size_t taxa = matrix.taxa.size();
  for (std::size_t o = 0; o < row.outcomes; ++o) {
    double all = 0;
    for (std::size_t t = 0; t < taxa; ++t)
      all += row.chance[o * width_ + t] = chance_of(character, matrix.cell(t, index), index, o);
    row.chance[o * width_ + taxa] =
        all / static_cast<double>(taxa);  // "none of these", as in log_likelihoods
    for (std::size_t t = 0; t < width_; ++t) row.entropy[t] += entropy_term(row.chance[o * width_ + t]);
  }
  return row;
}

std::span<const double> Chooser::chances(std::size_t character, std::size_t outcome) const {
  return {rows_[character].chance.data() + outcome * width_, width_};
}

std::vector<Gain> Chooser::gains(std::span<const double> posterior, const std::vector<bool>& asked) const {
  std::vector<double> dangerous_part(width_);
  double p_dangerous = 0;
  for (std::size_t t = 0; t < width_; ++t) {
    dangerous_part[t] = posterior[t] * dangerous_[t];
    p_dangerous += dangerous_part[t];
  }
  std::vector<Gain> result(rows_.size());
  for (std::size_t c = 0; c < rows_.size(); ++c) {
    if (asked[c]) continue;
    const Row& row = rows_[c];
    double known = 0;
    for (std::size_t t = 0; t < width_; ++t) known += posterior[t] * row.entropy[t];
    double all = 0, split = 0;
    for (std::size_t o = 0; o < row.outcomes; ++o) {
      const double* chance = row.chance.data() + o * width_;
      double p = 0, p_with = 0;
      for (std::size_t t = 0; t < width_; ++t) p += posterior[t] * chance[t];
      for (std::size_t t = 0; t < width_; ++t) p_with += dangerous_part[t] * chance[t];
      all += entropy_term(p);
      split += entropy_term(p_with) + entropy_term(std::max(p - p_with, 0.0));
    }
    result[c].names = std::max(all - known, 0.0);
    const double before = entropy_term(p_dangerous) + entropy_term(std::max(1 - p_dangerous, 0.0));
    result[c].danger = std::max(all + before - split, 0.0);
  }
  return result;
}

}  // namespace stumpwise::key
