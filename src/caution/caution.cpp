#include "stumpwise/caution/caution.h"

#include <algorithm>

#include "stumpwise/base/error.h"

namespace stumpwise::caution {

// Ids are stable: profiles name them, pages and saved results carry them. A text may be made clearer, an id
// never changes.
const std::vector<Caution>& all() {
  static const std::vector<Caution> kAll = {
      // What the program is
      {"not-a-safety-device",
       "A tool for learning and records; not a safety device. A competent person must confirm with the whole "
       "piece in hand."},
      {"not-a-clearance",
       "When in doubt, throw it out. A name is not a clearance. No rule of thumb (peels, silver, animals eat "
       "it, smells nice) "
       "separates poisonous from edible."},
      {"invented-data",
       "Invented demonstration data: no such valley, no such finds. Nothing here is evidence of skill."},
      // When and where to look
      {"not-a-promise",
       "Conditions index, not a promise. It ranks days for looking; it says nothing about what you will find "
       "or whether it "
       "can be eaten."},
      {"no-local-records",
       "No local records: wide band. The numbers are starting assumptions until your own finds and blank "
       "outings correct them."},
      {"default-guild",
       "Default guild: no triggers of its own are known for this species, so its index is the roughest "
       "kind."},
      {"far-station",
       "The weather station is far away or at another height (more than 30 km, or 300 m higher or lower). "
       "The band is widened; "
       "rain above all may have been different here."},
      {"weather-gap", "Days without weather were left out. What fell in them is unknown."},
      {"forecast-fades",
       "Days to come rest on a forecast, then on past years; the band widens with every day."},
      {"score-from-visits", "Score reflects your own visits and assumptions. Unvisited is not empty."},
      {"extrapolated",
       "Hatched cells lie outside the ground that the model was made for: the number there is a guess."},
      {"cover-only-trees",
       "The land cover says only \"trees\": hosts are guessed from its mean until your own host records "
       "decide."},
      {"not-fit-to-eat-from",
       "Where a species may grow and whether the place is fit to eat from are different questions. The map "
       "answers only the first."},
      // On the way
      {"leave-your-plan",
       "Leave your plan and your turn-back time with someone, and say when to raise the alarm."},
      {"dead-trees",
       "Dead elms and ash drop limbs without warning. Stay out of the fall radius of one and a half times "
       "the height, and out of "
       "the stand in gusts above about 40 km/h."},
      {"eyes-up", "Eyes up for limbs, down for holes; mark the pack before you crouch away from it."},
      {"turn-back-is-latest",
       "The turn-back time is the latest one for the walk as planned. Searching is slower than walking, dusk "
       "in the wood comes "
       "early, and batteries die: carry the paper and a lamp."},
      {"walking-model",
       "Times come from a walking law on the terrain map. Snow, thicket, mud and a tired party are slower "
       "than it knows."},
      {"bearings-true", "Bearings are from true north; set your compass for the declination of the place."},
      {"hunting-and-ticks", "Mind the hunting days of the place, wear colour, and check for ticks at home."},
      {"not-legal-advice",
       "This is your note of a rule, with the date on which it was last checked. It is not legal advice. No "
       "answer means ask "
       "the owner."},
      {"protected-taxa",
       "Some species are protected and some are controlled substances that may be unlawful to hold, even for "
       "teaching."},
      // Naming
      {"dangers-first",
       "Dangerous taxa that are not yet contradicted stand first, then names. It may be none of these."},
      {"pair-checklist",
       "Has dangerous doubles. Work through the pair checklist piece by piece: what is not observed stays in "
       "plain sight and "
       "keeps the name shut. Doubles in this book only; others may exist."},
      {"dangers-not-covered",
       "This book does not yet know all dangers of the region. No piece can rise above candidate here, "
       "whatever is observed."},
      {"no-photo-naming",
       "Nothing is confirmed from a photo: the finder, a picture or an imported record cannot confirm."},
      {"empty-print", "An empty print proves nothing. No deposit is not a white deposit."},
      {"reagents", "Potash is caustic: gloves, no skin, no food surface."},
      {"fit-is-no-identification",
       "A fit of sizes is no identification: many species share them, and spores of a neighbour, of an "
       "immature cap or of a dried body mislead. What does not fit may be a wrong calibration."},
      {"odour-is-support-only", "An odour is support only: unrelated fungi share it, and noses differ."},
      {"small-brown-on-wood",
       "Small brown agarics on wood include deadly ones that grow in the same tufts as others. Leave them "
       "unless every piece is "
       "printed and examined."},
      {"webcaps-intermixed",
       "Deadly webcaps grow among these, piece beside piece. Check every single piece: underside, stipe cut "
       "lengthwise, print."},
      {"white-print-mandatory", "A white print of every tuft is mandatory; brown or rust ends it."},
      {"hardwood-only",
       "From hardwood only. From a conifer or a yew it is never for the table, and no setting lifts that."},
      {"deadly", "Deadly. A small amount can kill, and cooking does not remove the poison."},
      {"poisonous", "Poisonous. Never food, after no preparation."},
      {"late-kidney",
       "The harm to the kidneys shows after days, up to three weeks, when the meal is long forgotten."},
      // Taking
      {"per-piece", "Identity belongs to the piece, never to the basket: turn over and check every one."},
      {"whole-specimen", "Take one whole specimen with its base for the record before you trim anything."},
      {"keep-apart", "Keep unknown pieces apart from food, in a container of their own."},
      {"leave-some",
       "Leave at least a third of a patch and all over-mature bodies; one path in, the same path out."},
      {"site-history",
       "Site history unknown until you enter it: old orchards, mines, treated verges and fallout regions "
       "leave metals or "
       "radiocaesium in the fungus. Cooking removes neither."},
      {"spoilage-clock",
       "The clock is an upper bound. Slimy, smelly, mouldy or warm-stored: discard. Spoiled bodies of eaten "
       "species poison too."},
      // Kitchen and larder
      {"cook-thoroughly", "Cook thoroughly; never raw, no raw tasting. Ventilate."},
      {"never-raw", "Makes people ill raw or underdone, even when rightly named."},
      {"cooking-cannot-remove",
       "Cooking does not remove amatoxin, orellanine, metals or radiocaesium. A kitchen never corrects a "
       "name."},
      {"no-home-canning",
       "No tested home process exists for canning or pickling wild mushrooms; do not improvise. Oil and "
       "under-acid jars can "
       "carry botulism. Dryness is judged by mass."},
      {"new-species-rule",
       "One new species at a time, by itself, cooked, a small portion, with someone in the house told; keep "
       "a raw specimen. "
       "A small taste tests your tolerance, not the name: amatoxin and orellanine harm without early "
       "warning."},
      {"people-excluded",
       "Not for children, pregnancy, kidney or liver disease, a weak immune state, or guests who were not "
       "told. Some kinds do "
       "harm with alcohol, even days later."},
      {"label-cannot-identify",
       "Cannot be identified from this jar. Only the lot record tells what is in it."},
      {"not-treatment-advice",
       "Not treatment advice. Every health claim shows its evidence grade, and every composition figure its "
       "basis, fresh or dry."},
      // Illness
      {"call-now",
       "Call now; do not wait for symptoms or for an identification. Feeling better on day 2 can be the "
       "quiet phase before liver "
       "failure."},
      {"latency-never-clears",
       "An early start clears nothing: a mixed meal can hold a second poison. Six hours or more is the "
       "warning of liver and "
       "kidney poisons. Every mushroom meal of the last 31 days counts."},
      {"no-home-remedies",
       "No home remedies, and no vomiting unless a clinician tells you to. Keep leftovers, peelings and "
       "specimens and bring them."},
      {"warn-the-guests", "Warn everyone who ate of it, also those who feel well."},
      {"dogs-and-toddlers",
       "A child or a dog seen chewing counts as poisoned: the same card, the same call. Most calls to poison "
       "lines concern "
       "children under six."},
      {"do-not-wait", "If someone has eaten it, call now: do not wait for symptoms."},
      // Records and sharing
      {"blank-is-data", "A blank day is data. Save it."},
      {"few-visits", "Few visits: the interval is wide."},
      {"no-verdict-yet", "Too few forecasts have come true or false to judge the program."},
      {"thin-evidence",
       "Learned from few outings: the map may still change much. Searched ground teaches, unsearched ground "
       "does not."},
      {"cannot-be-recalled",
       "Once shared it cannot be recalled. Look through every field that leaves and how exact it is."},
      {"finer-than-before",
       "A finer export of the same record was or is made: the coarser one protects the spot no longer."},
      {"backup-holds-spots", "A backup holds every spot exactly. Whoever can read it can walk there."},
      {"teaching-not-food", "Teaching specimens are not food."},
  };
  return kAll;
}

const Caution& by_id(std::string_view id) {
  const auto& list = all();
  const auto found =
      std::find_if(list.begin(), list.end(), [&](const Caution& caution) { return caution.id == id; });
  if (found == list.end())
    throw Error(ErrorCode::internal, "no caution has the id \"" + std::string(id) + "\"",
                "Ids stand in src/caution/caution.cpp.");
  return *found;
}

}  // namespace stumpwise::caution
