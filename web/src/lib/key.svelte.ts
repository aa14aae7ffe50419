import * as api from './api';
import { keyRequest, withReading, type Change } from './key';
import { shared } from './shared.svelte';

/** One fruit body in the key: what is asked, what was read, what came back. Readings of a piece of the book live there; without a
 *  piece they live on this page alone and go with it. */
class KeyState {
  vocabulary = $state.raw<api.Vocabulary | null>(null);
  answer = $state.raw<api.KeyAnswer | null>(null);
  piece = $state.raw<api.PieceAnswer | null>(null);
  failure = $state.raw<unknown>(null);
  failedAt = $state(''); // the character, 'start', 'pieces' or ''
  busy = $state(false);
  region = $state('');
  date = $state('');
  name = $state('');
  experience = $state('trained');
  by = $state('');
  open = $state(''); // the character whose control is open
  private local: string[] = [];

  readonly byId = $derived(new Map((this.vocabulary?.characters ?? []).map((each) => [each.id, each])));
  readonly readings = $derived(new Map((this.answer?.readings ?? []).map((each) => [each.character, each.text])));
  get pieceId(): number {
    return this.piece?.piece.id ?? 0;
  }

  async begin(): Promise<void> {
    this.date ||= shared.today;
    this.region ||= shared.ground ? 'ground' : '';
    if (!this.vocabulary) this.vocabulary = await api.characters();
    await this.ask({}, '');
  }

  private request(change: Change): api.KeyRequest {
    const form = { region: this.region, ground: shared.ground, date: this.date, name: this.name, experience: this.experience, by: this.by, piece: this.pieceId };
    return keyRequest(form, change);
  }

  /** Asks with a change; what the server refuses is not kept. True where it went. */
  async ask(change: Change, at: string): Promise<boolean> {
    this.busy = true;
    this.failure = null;
    this.failedAt = '';
    try {
      if (this.pieceId) {
        this.answer = await api.key(this.request(change));
        this.piece = await api.piece(this.pieceId);
      } else {
        const gone = new Set(change.taken_back ?? []);
        let next = this.local.filter((text) => !gone.has(text.split('=')[0]!));
        for (const text of change.seen ?? []) next = withReading(next, text);
        this.answer = await api.key(this.request({ seen: next }));
        this.local = next;
      }
      return true;
    } catch (error) {
      this.failure = error;
      this.failedAt = at;
      return false;
    } finally {
      this.busy = false;
    }
  }

  read = (text: string) => this.ask({ seen: [text] }, text.split('=')[0]!);
  takeBack = (id: string) => this.ask({ taken_back: [id] }, id);
  wait = (id: string) => this.ask({ begun: [id] }, id);

  async openPiece(id: number): Promise<void> {
    this.busy = true;
    this.failure = null;
    try {
      const piece = await api.piece(id);
      this.piece = piece;
      this.local = [];
      this.open = '';
      this.name = '';
      this.by = '';
      this.date = piece.piece.date;
      this.region = piece.piece.region ? 'piece' : shared.ground ? 'ground' : '';
      await this.ask({}, 'pieces');
    } catch (error) {
      this.failure = error;
      this.failedAt = 'pieces';
    }
    this.busy = false;
  }

  /** Another fruit body: nothing of the last one is carried over but place, day and who reads. */
  async another(): Promise<void> {
    this.piece = null;
    this.local = [];
    this.name = '';
    this.open = '';
    if (this.region === 'piece') this.region = shared.ground ? 'ground' : '';
    await this.ask({}, '');
  }
}

export const keyState = new KeyState();
