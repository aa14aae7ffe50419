// The profiles against an independent description of the same taxa: Wagner, Heider & Hattab, Scientific
// Reports 11, 8134 (2021), ../shared/data/characters, after P. Hardin's field book (published). Its rows have
// English names only; the list below says which profile holds each. What disagrees is told in
// docs/species-checks.md.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <set>

#include "files.h"
#include "stumpwise/base/csv.h"
#include "stumpwise/base/text.h"

namespace stumpwise::species {
namespace {

using testing_files::book;

/// Rows of the file and the name of ours that they mean: the accepted one or a species of the group.
const std::map<std::string, std::string> kBoth = {{"Amethyst Deceiver", "Laccaria amethystina"},
                                                  {"Bare-toothed Russula", "Russula vesca"},
                                                  {"Bay Bolete", "Imleria badia"},
                                                  {"Beechwood Sickener", "Russula nobilis"},
                                                  {"Birch Russula", "Russula betularum"},
                                                  {"Bitter Bolete", "Tylopilus felleus"},
                                                  {"Brick Caps", "Hypholoma lateritium"},
                                                  {"Brown Birch Bolete", "Leccinum scabrum"},
                                                  {"Brown Roll-rim", "Paxillus involutus"},
                                                  {"Brown Stew Fungus", "Kuehneromyces mutabilis"},
                                                  {"Bulbous Honey Fungus", "Armillaria gallica"},
                                                  {"Cep", "Boletus edulis"},
                                                  {"Chanterelle", "Cantharellus cibarius"},
                                                  {"Clouded Agaric", "Clitocybe nebularis"},
                                                  {"Club-footed Funnel Cap", "Ampulloclitocybe clavipes"},
                                                  {"Common Funnel Cap", "Infundibulicybe gibba"},
                                                  {"Common Ink Cap", "Coprinopsis atramentaria"},
                                                  {"Common Morel", "Morchella esculenta"},
                                                  {"Common White Inocybe", "Inocybe geophylla"},
                                                  {"Death Cap", "Amanita phalloides"},
                                                  {"Destroying Angel", "Amanita virosa"},
                                                  {"Dotted-stemmed Bolete", "Neoboletus erythropus"},
                                                  {"Dryad's Saddle", "Cerioporus squamosus"},
                                                  {"Egg-shell Toadstool", "Panaeolus semiovatus"},
                                                  {"Fairy Ring Champignon", "Marasmius oreades"},
                                                  {"False Chanterelle", "Hygrophoropsis aurantiaca"},
                                                  {"Fawn Pluteus", "Pluteus cervinus"},
                                                  {"Field Blewit", "Lepista personata"},
                                                  {"Field Mushroom", "Agaricus campestris"},
                                                  {"Fly Agaric", "Amanita muscaria"},
                                                  {"Glistening Ink Cap", "Coprinellus micaceus"},
                                                  {"Grey Tricholoma", "Tricholoma terreum"},
                                                  {"Hairy Stereum", "Stereum hirsutum"},
                                                  {"Hay Cap", "Panaeolina foenisecii"},
                                                  {"Hedgehog Fungus", "Hydnum repandum"},
                                                  {"Honey Fungus", "Armillaria mellea"},
                                                  {"Horn of Plenty", "Craterellus cornucopioides"},
                                                  {"Horse Mushroom", "Agaricus arvensis"},
                                                  {"Ivory Clitocybe", "Clitocybe rivulosa"},
                                                  {"Larch Bolete", "Suillus grevillei"},
                                                  {"Lilac Bell Cap", "Mycena pura"},
                                                  {"Livid Entoloma", "Entoloma sinuatum"},
                                                  {"Magic Mushroom", "Psilocybe semilanceata"},
                                                  {"Orange Birch Bolete", "Leccinum versipelle"},
                                                  {"Oyster Mushroom", "Pleurotus ostreatus"},
                                                  {"Panther Cap", "Amanita pantherina"},
                                                  {"Parasol Mushroom", "Macrolepiota procera"},
                                                  {"Petticoat Fungus", "Panaeolus papilionaceus"},
                                                  {"Poison Pie", "Hebeloma crustuliniforme"},
                                                  {"Red-staining Inocybe", "Inosperma erubescens"},
                                                  {"Rufous Milk Cap", "Lactarius rufus"},
                                                  {"Saffron Milk Cap", "Lactarius deliciosus"},
                                                  {"Shaggy Ink Cap", "Coprinus comatus"},
                                                  {"Shaggy Parasol", "Chlorophyllum rhacodes"},
                                                  {"Shaggy Pholiota", "Pholiota squarrosa"},
                                                  {"Slippery Jack", "Suillus luteus"},
                                                  {"Soft Slipper Toadstool", "Crepidotus mollis"},
                                                  {"Spectacular Gymnopile", "Gymnopilus junonius"},
                                                  {"Spring Agaric", "Agrocybe praecox"},
                                                  {"Spruce Milk Cap", "Lactarius deterrimus"},
                                                  {"St George's Mushroom", "Calocybe gambosa"},
                                                  {"Stinking Parasol", "Lepiota cristata"},
                                                  {"Sulphur Tuft", "Hypholoma fasciculare"},
                                                  {"Tawny Grisette", "Amanita fulva"},
                                                  {"The Blusher", "Amanita rubescens"},
                                                  {"The Charcoal Burner", "Russula cyanoxantha"},
                                                  {"The Deceiver", "Laccaria laccata"},
                                                  {"The Miller", "Clitopilus prunulus"},
                                                  {"The Sickener", "Russula emetica"},
                                                  {"Tubed Chanterelle", "Craterellus tubaeformis"},
                                                  {"Turban Fungus", "Gyromitra esculenta"},
                                                  {"Velvet Shank", "Flammulina velutipes"},
                                                  {"Wood Blewit", "Lepista nuda"},
                                                  {"Woolly Milk Cap", "Lactarius torminosus"},
                                                  {"Yellow-staining Mushroom", "Agaricus xanthodermus"}};

struct Tally {
  int compared = 0, agree = 0;
  std::vector<std::string> apart;
  double share() const { return compared ? static_cast<double>(agree) / compared : 0; }
  void add(bool fits, const std::string& what) {
    ++compared;
    if (fits) ++agree;
    if (!fits) apart.push_back(what);
  }
};

/// Cells are written "[10, 20]": the parts, trimmed.
std::vector<std::string> cell_parts(std::string cell) {
  std::erase_if(cell, [](char c) { return c == '[' || c == ']' || c == ' '; });
  std::vector<std::string> parts;
  for (const std::string& part : base::split(cell, ','))
    if (!part.empty()) parts.push_back(part);
  return parts;
}

class Matrix : public testing::Test {
 protected:
  void SetUp() override {
    const auto file = testing_files::shared_data() / "characters" / "primary_data_edited.csv";
    if (!std::filesystem::exists(file)) GTEST_SKIP() << "needs data/characters of the shared data";
    const std::string text = base::read_file(file);
    const auto lines = base::split(text, '\n');
    columns_ = fields(lines.at(0));
    for (std::size_t i = 1; i < lines.size(); ++i) {
      const auto row = fields(lines[i]);
      if (row.size() > 1 && kBoth.count(row[1])) rows_[row[1]] = row;
    }
  }
  static std::vector<std::string> fields(std::string line) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    return base::split(line, ';');
  }
  std::vector<std::string> cell(const std::vector<std::string>& row, const std::string& column) const {
    const auto at = std::find(columns_.begin(), columns_.end(), column);
    return cell_parts(row.at(static_cast<std::size_t>(at - columns_.begin())));
  }
  static const Profile& ours(const std::string& row_name) {
    const auto answer = book().resolve(kBoth.at(row_name));
    if (answer.id.empty()) throw std::runtime_error(kBoth.at(row_name) + " is not in the book");
    return *book().find(answer.id);
  }
  /// The middle of the file's range in the usual range of ours.
  Tally sizes(const std::string& column, const std::string& id, double to_mm) const {
    Tally tally;
    for (const auto& [name, row] : rows_) {
      const Profile& profile = ours(name);
      const auto value = profile.characters.find(id);
      double sum = 0;
      const auto parts = cell(row, column);
      for (const std::string& part : parts) sum += base::parse_number(part).value();
      const double middle_mm = parts.empty() ? 0 : sum / static_cast<double>(parts.size()) * to_mm;
      if (value == profile.characters.end() || middle_mm == 0) continue;  // 0: the file's "none"
      const NumericRange& range = *value->second.range;
      tally.add(middle_mm >= range.usual_min && middle_mm <= range.usual_max, profile.id + " " + name);
    }
    return tally;
  }
  static void report(const char* what, const Tally& tally) {
    std::printf("%s: %d of %d agree; apart: %s\n", what, tally.agree, tally.compared,
                base::join(tally.apart, ", ").c_str());
  }

  std::vector<std::string> columns_;
  std::map<std::string, std::vector<std::string>> rows_;
};

TEST_F(Matrix, EveryRowOfTheListIsInBoth) {
  EXPECT_EQ(rows_.size(), kBoth.size());
  for (const auto& [name, species] : kBoth) EXPECT_EQ(book().resolve(species).matched, species) << name;
}

TEST_F(Matrix, SizesAgree) {
  const Tally cap = sizes("cap-diameter", "C11", 10), height = sizes("stem-height", "C18.length", 10),
              width = sizes("stem-width", "C18.width", 1);
  report("cap diameter", cap);
  report("stem height", height);
  report("stem width", width);
  EXPECT_GE(cap.compared, 70);
  EXPECT_GE(cap.share(), 0.95);
  EXPECT_GE(height.share(), 0.97);
  EXPECT_GE(width.share(), 0.96);
}

/// Each of its seasons holds one of our months, and at least half of our months lie in its seasons.
TEST_F(Matrix, SeasonsAgree) {
  const std::map<std::string, std::set<int>> seasons = {
      {"s", {3, 4, 5}}, {"u", {6, 7, 8}}, {"a", {9, 10, 11}}, {"w", {12, 1, 2}}};
  Tally tally;
  for (const auto& [name, row] : rows_) {
    const Profile& profile = ours(name);
    bool each_met = true;
    int inside = 0;
    for (const std::string& season : cell(row, "season")) {
      const int met = static_cast<int>(std::count_if(profile.months.begin(), profile.months.end(),
                                                     [&](int m) { return seasons.at(season).count(m) > 0; }));
      each_met = each_met && met > 0;
      inside += met;
    }
    tally.add(each_met && 2 * inside >= static_cast<int>(profile.months.size()), profile.id + " " + name);
  }
  report("season", tally);
  EXPECT_GE(tally.share(), 0.88);
}

/// Where it says that a fungus grows, ours can: woods by wood, litter or a host of weight 0.5, grass and
/// meadows by grass, leaves by litter, heaths, paths, towns and waste by soil, litter or grass.
TEST_F(Matrix, HabitatsAgree) {
  Tally tally;
  for (const auto& [name, row] : rows_) {
    const Profile& profile = ours(name);
    const auto& states = profile.characters.at("C38").states;
    auto grows_on = [&](std::initializer_list<const char*> any) {
      return std::any_of(any.begin(), any.end(), [&](const char* state) {
        return std::find(states.begin(), states.end(), state) != states.end();
      });
    };
    const bool has_host = std::any_of(profile.hosts.begin(), profile.hosts.end(),
                                      [](const HostWeight& host) { return host.weight >= 0.5; });
    bool fits = true;
    for (const std::string& where : cell(row, "habitat")) {
      if (where == "d")
        fits = fits && (has_host || grows_on({"dead-wood", "live-wood", "buried-wood", "litter"}));
      if (where == "g" || where == "m") fits = fits && grows_on({"grass"});
      if (where == "l") fits = fits && grows_on({"litter"});
      if (where == "h" || where == "p" || where == "u" || where == "w")
        fits = fits && grows_on({"soil", "litter", "grass"});
    }
    tally.add(fits, profile.id + " " + name);
  }
  report("habitat", tally);
  EXPECT_GE(tally.share(), 0.97);
}

}  // namespace
}  // namespace stumpwise::species
