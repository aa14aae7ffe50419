/** The session's token comes behind the # of the address, where no server and no other page sees it. It is kept for this tab
 *  alone and taken out of the address at once, so that it stays out of the history and of screenshots. */
const kKey = 'stumpwise-token';

export function tokenFromHash(hash: string): string | null {
  const found = /^#token=([0-9a-f]{16,128})$/.exec(hash);
  return found ? found[1]! : null;
}

export function takeToken(): void {
  const token = tokenFromHash(window.location.hash);
  if (!token) return;
  window.sessionStorage.setItem(kKey, token);
  window.history.replaceState(null, '', window.location.pathname + '#/outlook');
}

export function token(): string {
  return window.sessionStorage.getItem(kKey) ?? '';
}
