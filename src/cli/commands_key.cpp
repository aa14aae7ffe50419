#include "command.h"
#include "say.h"
#include "stumpwise/app/key.h"

namespace stumpwise::cli {
namespace {

struct KeyWords {
  app::KeyRequest request;
  int piece = 0;
  bool next = false;
  std::string matrix, groups;
};

Json ask_matrix(const KeyWords& words) {
  if (words.groups.empty())
    throw Error(ErrorCode::bad_usage, "--matrix needs --groups FILE", "Columns: character,group.");
  if (words.piece != 0 || !words.request.taken_back.empty() || !words.request.begun.empty() ||
      !words.request.name.empty())
    throw Error(ErrorCode::bad_usage, "--matrix goes without --piece, --name, --take-back and --begin",
                "A matrix from elsewhere ranks names; nothing of it is kept.");
  return app::matrix_key({words.matrix, words.groups, words.request.seen, words.next ? 20 : 8});
}

void add_key(Context& context) {
  CLI::App& leaf =
      command(context.app, "key", "What is it, what dangerous thing could it still be, what to look at next.",
              "stumpwise key --region EU --seen C01=pores C20=solid@cut \"C11=12 cm\"\n"
              "stumpwise key --region EU+NA-E --name E14 --next \\\n"
              "    --seen C01=false-ridges C20=one-hollow@cut\n"
              "stumpwise key --piece 3 --seen C31=white --by Ann\n"
              "stumpwise key --piece 3 --take-back C31      its history is kept\n"
              "stumpwise key --piece 3 --begin C31   a print lies: open until it is read");
  auto words = std::make_shared<KeyWords>();
  list_option(
      leaf, "--seen", words->request.seen, "Cnn=STATE",
      "a reading: STATE|STATE where unsure, a number with its unit; then @dug @cut @micro @SECONDS watched");
  text_option(leaf, "--name", words->request.name, "S", "the name to judge (the likeliest that is gathered)");
  place_option(leaf, "--at", words->request.at, "where it grew");
  text_option(leaf, "--region", words->request.region, "R", "region, as in EU+NA-E (that of the ground)");
  date_option(leaf, "--date", words->request.date, "the day (today); ranks names, never gates");
  text_option(leaf, "--experience", words->request.experience, "WHO",
              "novice, trained (as assumed) or expert");
  text_option(leaf, "--by", words->request.by, "WHO", "who read it (the finder)");
  integer_option(leaf, "--piece", words->piece, "N", "a piece of the book; its readings are kept");
  list_option(leaf, "--take-back", words->request.taken_back, "Cnn",
              "readings of the piece that no longer count");
  list_option(leaf, "--begin", words->request.begun, "Cnn", "what is being waited for: C31, the print");
  text_option(leaf, "--matrix", words->matrix, "F", "key on a character matrix from elsewhere instead");
  text_option(leaf, "--groups", words->groups, "F", "evidence group of each of its characters");
  leaf.add_flag("--next", words->next, "only what to look at next, more of it");
  takes_ground(leaf, context);
  reports(
      leaf, context,
      [&context, words] {
        if (!words->matrix.empty()) return ask_matrix(*words);
        words->request.ground = context.common.ground;
        words->request.piece = words->piece;
        if (words->next) words->request.most_next = 20;
        auto session = words->request.piece != 0 || !words->request.ground.empty()
                           ? context.session()
                           : context.session_if_there();
        return app::key(session, words->request);
      },
      [words](const Json& answer, const Units& units) {
        return words->next ? say_key_next(answer, units) : say_key(answer, units);
      });
}

void add_piece_add(CLI::App& piece, Context& context) {
  CLI::App& leaf = command(piece, "add", "One fruit body, or several of a find.",
                           "stumpwise piece add --finder Ann --find 12 --name E14\n"
                           "stumpwise piece add --finder Ann --region EU --pieces 23");
  auto request = std::make_shared<app::PieceAddRequest>();
  auto find = std::make_shared<int>(0);
  text_option(leaf, "--finder", request->finder, "WHO", "who found it, and so cannot confirm it")->required();
  text_option(leaf, "--name", request->name, "S", "what the finder thinks it is; kept as you write it");
  integer_option(leaf, "--find", *find, "N", "the find it belongs to");
  date_option(leaf, "--date", request->date, "the day (today)");
  place_option(leaf, "--at", request->at, "where");
  text_option(leaf, "--region", request->region, "R", "region, as in EU+NA-E");
  integer_option(leaf, "--pieces", request->pieces, "N", "how many fruit bodies, a number each (1)");
  text_option(leaf, "--note", request->note, "TEXT", "anything else");
  takes_book(leaf, context);
  reports(
      leaf, context,
      [&context, request, find] {
        request->find = *find;
        return context.in_new_or_old_book(
            [&](app::Session& session) { return app::piece_add(session, *request); });
      },
      say_piece_add);
}

void add_piece_confirm(CLI::App& piece, Context& context) {
  CLI::App& leaf = command(piece, "confirm", "Another person's word, the whole piece in hand.",
                           "stumpwise piece confirm 3 --by Tomas");
  auto request = std::make_shared<app::ConfirmRequest>();
  auto id = std::make_shared<int>(0);
  integer_option(leaf, "N", *id, "", "its number")->required();
  text_option(leaf, "--by", request->by, "NAME", "who confirms; not the finder")->required();
  text_option(leaf, "--name", request->name, "S", "what is confirmed (the piece's name)");
  text_option(leaf, "--from", request->from, "HOW",
              "hand (as asked), photo or report: the last two open nothing");
  text_option(leaf, "--note", request->note, "TEXT", "anything else");
  takes_book(leaf, context);
  reports(
      leaf, context,
      [&context, request, id] {
        request->piece = *id;
        auto session = context.session();
        return app::piece_confirm(session, *request);
      },
      say_piece_show);
}

void add_piece(Context& context) {
  CLI::App& piece = group(context.app, "piece", "Fruit bodies, each with its own name and standing.",
                          "stumpwise piece show 3");
  add_piece_add(piece, context);
  CLI::App& list = command(piece, "list", "Every piece and how it stands.", "stumpwise piece list");
  takes_book(list, context);
  reports(
      list, context,
      [&context] {
        auto session = context.session();
        return app::piece_list(session);
      },
      say_piece_list);
  shows_by_number(piece, context, "One piece: dangers first, readings with their history.",
                  "stumpwise piece show 3", app::piece_show, say_piece_show);
  add_piece_confirm(piece, context);
}

}  // namespace

void add_key_commands(Context& context) {
  add_key(context);
  add_piece(context);
}

}  // namespace stumpwise::cli
