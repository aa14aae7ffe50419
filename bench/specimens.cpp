#include "specimens.h"

#include <algorithm>
#include <bit>

#include "stumpwise/base/csv.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/random.h"
#include "stumpwise/base/text.h"

namespace stumpwise::bench {
namespace {

key::Evidence draw(const key::Matrix& matrix, std::size_t taxon, std::size_t index, double misread,
                   base::Random& random) {
  const key::KeyCharacter& character = matrix.characters[index];
  const key::KeyCell& cell = matrix.cell(taxon, index);
  key::Evidence reading{index, 0, 0, misread};
  const bool wrong = random.chance(misread);
  if (character.numeric()) {
    reading.value = wrong || !cell.recorded ? random.uniform(0, character.range)
                                            : std::max(0.0, random.normal(cell.mean, cell.sd));
    return reading;
  }
  const int k = static_cast<int>(character.states.size());
  const key::States all = k == 64 ? ~key::States{0} : (key::States{1} << k) - 1;
  key::States from = cell.recorded ? cell.states : all;
  int pick = random.integer(0, std::popcount(from) - 1);
  while (pick-- > 0) from &= from - 1;
  const int state = std::countr_zero(from);
  const int other = (state + random.integer(1, k - 1)) % k;
  reading.states = key::States{1} << (wrong ? other : state);
  return reading;
}

/// Reads the rows of one table into specimens.
class SpecimenReader {
 public:
  SpecimenReader(const key::Matrix& matrix, const base::CsvTable& table,
                 Parsed<std::vector<Specimen>>& result)
      : matrix_(matrix), table_(table), result_(result) {
    for (const key::KeyCharacter& character : matrix.characters) {
      const auto column = table.column(character.id);
      if (!column) fault(1, character.id, "this column is missing");
      columns_.push_back(column.value_or(0));
    }
    row_ = table.column("species_row"), order_ = table.column("order");
    if (!row_ || !order_) fault(1, "header", "needs the columns species_row and order");
  }
  void read() {
    if (!result_.ok()) return;
    for (const base::CsvRow& row : table_.rows) read_row(row);
  }

 private:
  void fault(int line, const std::string& field, const std::string& text) {
    result_.issues.push_back({Severity::fault, table_.file, line, field, text});
  }

  std::size_t index_of(const std::string& id) const {
    for (std::size_t c = 0; c < matrix_.characters.size(); ++c)
      if (matrix_.characters[c].id == id) return c;
    return matrix_.characters.size();
  }

  void read_row(const base::CsvRow& row) {
    Specimen specimen;
    const auto taxon = base::parse_integer(row.cells[*row_]);
    if (!taxon || *taxon < 1 || *taxon > static_cast<int>(matrix_.taxa.size()))
      return fault(row.line, "species_row", "must be 1 to " + std::to_string(matrix_.taxa.size()));
    specimen.taxon = static_cast<std::size_t>(*taxon - 1);
    for (std::size_t c = 0; c < columns_.size(); ++c)
      specimen.readings.push_back(reading(row, c, row.cells[columns_[c]]));
    for (const std::string& id : base::split(row.cells[*order_], ' '))
      if (const std::size_t c = index_of(id); c < matrix_.characters.size()) specimen.order.push_back(c);
    if (specimen.order.size() != columns_.size()) fault(row.line, "order", "must name each character once");
    result_.value.push_back(std::move(specimen));
  }

  key::Evidence reading(const base::CsvRow& row, std::size_t index, const std::string& text) {
    key::Evidence evidence{index, 0, 0, 0.1};
    const key::KeyCharacter& character = matrix_.characters[index];
    if (character.numeric()) {
      const auto value = base::parse_number(text);
      if (!value) fault(row.line, character.id, "\"" + base::printable(text) + "\" is no number");
      evidence.value = value.value_or(0);
      return evidence;
    }
    const auto state = std::find(character.states.begin(), character.states.end(), text);
    if (state == character.states.end())
      fault(row.line, character.id, "\"" + base::printable(text) + "\" is no state of the matrix");
    else
      evidence.states = key::States{1} << (state - character.states.begin());
    return evidence;
  }

  const key::Matrix& matrix_;
  const base::CsvTable& table_;
  Parsed<std::vector<Specimen>>& result_;
  std::vector<std::size_t> columns_;
  std::optional<std::size_t> row_, order_;
};

}  // namespace

std::vector<Specimen> simulate(const key::Matrix& matrix, int n, std::uint64_t seed, double misread) {
  base::Random random(seed);
  std::vector<Specimen> list(static_cast<std::size_t>(n));
  for (Specimen& specimen : list) {
    specimen.taxon = static_cast<std::size_t>(random.integer(0, static_cast<int>(matrix.taxa.size()) - 1));
    for (std::size_t c = 0; c < matrix.characters.size(); ++c) {
      specimen.readings.push_back(draw(matrix, specimen.taxon, c, misread, random));
      specimen.order.push_back(c);
    }
    for (std::size_t c = specimen.order.size() - 1; c > 0; --c)
      std::swap(specimen.order[c],
                specimen.order[static_cast<std::size_t>(random.integer(0, static_cast<int>(c)))]);
  }
  return list;
}

Parsed<std::vector<Specimen>> read_specimens(const key::Matrix& matrix, const std::string& path) {
  Parsed<std::vector<Specimen>> result;
  const auto table = base::parse_csv(base::read_file(path), path);
  result.issues = table.issues;
  SpecimenReader(matrix, table.value, result).read();
  return result;
}

key::Matrix invented_matrix(int taxa) {
  constexpr int kCharacters = 60, kStates = 6;
  base::Random random(1);
  key::Matrix matrix;
  for (int c = 0; c < kCharacters; ++c) {
    key::KeyCharacter character;
    character.id = character.name = "c" + std::to_string(c);
    character.group = "g" + std::to_string(c % 10);
    for (int s = 0; s < kStates; ++s) character.states.push_back("s" + std::to_string(s));
    matrix.characters.push_back(std::move(character));
  }
  for (int t = 0; t < taxa; ++t) {
    matrix.taxa.push_back({std::to_string(t), std::to_string(t), t % 2 == 0});
    for (int c = 0; c < kCharacters; ++c) {
      key::KeyCell cell;
      cell.recorded = true;
      cell.states = (key::States{1} << random.integer(0, kStates - 1)) |
                    (key::States{1} << random.integer(0, kStates - 1));
      matrix.cells.push_back(cell);
    }
  }
  return matrix;
}

}  // namespace stumpwise::bench
