#include <algorithm>
#include <set>

#include "fold.h"
#include "stumpwise/base/text.h"
#include "stumpwise/species/library.h"

namespace stumpwise::species {

namespace {

struct Candidate {
  const Profile* profile = nullptr;
  const Name* name = nullptr;
  int rank =
      0;  ///< how good a claim the name gives: accepted 0, synonym 1, misspelling 2, group 3, vernacular 4
  std::string folded;
};

int rank_of(const std::string& status) {
  if (status == "accepted") return 0;
  if (status == "synonym") return 1;
  if (status == "misspelling") return 2;
  if (status == "group") return 3;
  return 4;
}

std::vector<Candidate> candidates(const std::vector<Profile>& profiles) {
  std::vector<Candidate> list;
  for (const Profile& profile : profiles)
    for (const Name& name : profile.names)
      list.push_back({&profile, &name, rank_of(name.status), fold_name(name.text)});
  return list;
}

/// What the user is told of a name that fitted, without how it was spelt.
std::string told(const Candidate& found) {
  const std::string& accepted = found.profile->name();
  switch (found.rank) {
    case 0:
      return "";
    case 1:
      return found.name->text + " is now " + accepted;
    case 2:
      return found.name->text + " is a misspelling of " + accepted;
    case 3:
      return found.name->text + " is kept with " + accepted + " in this book";
    default:
      return found.name->text + " is " + accepted;
  }
}

Resolution resolved(const std::string& asked, const Candidate& found, bool as_spelt) {
  Resolution answer;
  answer.id = found.profile->id;
  answer.asked = asked;
  answer.matched = found.name->text;
  answer.said = told(found);
  if (!as_spelt) {
    std::string said = "\"" + base::printable(asked) + "\" is read as " + found.name->text;
    answer.said = answer.said.empty() ? said : said + "; " + answer.said;
  }
  return answer;
}

/// The one candidate of the best rank; nothing where two profiles claim it alike.
const Candidate* one_of(const std::vector<const Candidate*>& fits) {
  const Candidate* best = nullptr;
  bool shared = false;
  for (const Candidate* fit : fits) {
    if (!best || fit->rank < best->rank) {
      best = fit, shared = false;
    } else if (fit->rank == best->rank && fit->profile != best->profile) {
      shared = true;
    }
  }
  return shared ? nullptr : best;
}

/// How many letters may be off: none in a very short name, where a letter makes another word.
int allowed_distance(std::size_t length) {
  if (length < 5) return 0;
  if (length < 10) return 1;
  return length < 18 ? 2 : 3;
}

bool holds_word(const std::string& name, const std::string& word) {
  return (" " + name + " ").find(" " + word + " ") != std::string::npos;
}

std::vector<std::string> names_of(const std::vector<const Candidate*>& fits) {
  std::vector<std::string> names;
  for (const Candidate* fit : fits)
    if (std::find(names.begin(), names.end(), fit->name->text) == names.end())
      names.push_back(fit->name->text);
  return names;
}

Resolution not_known(const std::string& asked, const std::string& folded, const std::vector<Candidate>& all,
                     std::vector<std::string> near) {
  constexpr std::size_t kMost = 6;
  std::vector<std::string> texts;
  for (const Candidate& candidate : all) {
    texts.push_back(candidate.name->text);
    if (!folded.empty() && near.size() < kMost && holds_word(candidate.folded, folded) &&
        std::find(near.begin(), near.end(), candidate.name->text) == near.end())
      near.push_back(candidate.name->text);
  }
  for (const std::string& name : base::nearest(asked, texts, kMost))
    if (near.size() < kMost && std::find(near.begin(), near.end(), name) == near.end()) near.push_back(name);
  Resolution answer;
  answer.asked = asked;
  answer.near = std::move(near);
  return answer;
}

/// "C. squamosus": a genus of one letter stands for every genus that begins so.
std::vector<const Candidate*> abbreviated(const std::string& folded, const std::vector<Candidate>& all) {
  std::vector<const Candidate*> fits;
  if (folded.size() < 3 || folded[1] != ' ') return fits;
  for (const Candidate& candidate : all) {
    const std::size_t blank = candidate.folded.find(' ');
    if (candidate.rank < 4 && blank != std::string::npos && candidate.folded[0] == folded[0] &&
        candidate.folded.substr(blank) == folded.substr(1))
      fits.push_back(&candidate);
  }
  return fits;
}

}  // namespace

Resolution Library::resolve(const std::string& name) const {
  const std::string asked(base::trim(name)), folded = fold_name(asked);
  for (const Profile& profile : profiles_)
    if (base::lower(profile.id) == base::lower(asked)) return {profile.id, asked, profile.name(), "", {}};
  const std::vector<Candidate> all = candidates(profiles_);
  std::vector<const Candidate*> exact;
  for (const Candidate& candidate : all)
    if (!folded.empty() && candidate.folded == folded) exact.push_back(&candidate);
  if (const Candidate* found = one_of(exact)) return resolved(asked, *found, true);
  if (!exact.empty()) return not_known(asked, folded, all, names_of(exact));
  const auto short_genus = abbreviated(folded, all);
  if (const Candidate* found = one_of(short_genus)) return resolved(asked, *found, false);
  if (!short_genus.empty()) return not_known(asked, folded, all, names_of(short_genus));
  int best = allowed_distance(folded.size());
  std::vector<const Candidate*> close;
  for (const Candidate& candidate : all) {
    const int distance = base::edit_distance(folded, candidate.folded);
    if (distance > best || distance > allowed_distance(candidate.folded.size())) continue;
    if (distance < best) close.clear();
    best = distance;
    close.push_back(&candidate);
  }
  // A misspelling that lies between two profiles is never decided here, whatever the rank of the names.
  std::set<const Profile*> owners;
  for (const Candidate* fit : close) owners.insert(fit->profile);
  if (owners.size() == 1) return resolved(asked, *one_of(close), false);
  return not_known(asked, folded, all, names_of(close));
}

const Profile& Library::require(const std::string& name, std::vector<std::string>* said) const {
  const Resolution answer = resolve(name);
  if (answer.id.empty())
    throw Error(ErrorCode::not_found,
                "species \"" + base::printable(answer.asked) + "\" is not known, or fits more than one",
                answer.near.empty() ? "No name of the book is near; `stumpwise species list` shows them all."
                                    : "Nearest names: " + base::join(answer.near, ", ") + ".");
  if (said && !answer.said.empty()) said->push_back(answer.said);
  return *find(answer.id);
}

}  // namespace stumpwise::species
