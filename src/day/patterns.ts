/** Patterns of files: `*` and `?` inside one name, `**` across folders. Letters count as written. */

/** Whether a path with `/` between folders matches a pattern. `**` stands for any number of folders, none included. */
export function matchesPattern(pattern: string, path: string): boolean {
  return matchFolders(pattern.split('/'), 0, path.split('/'), 0);
}

function matchFolders(pattern: readonly string[], p: number, path: readonly string[], i: number): boolean {
  if (p === pattern.length) return i === path.length;
  if (pattern[p] === '**') {
    if (p + 1 === pattern.length) return i < path.length;
    for (let skip = i; skip <= path.length; skip++) if (matchFolders(pattern, p + 1, path, skip)) return true;
    return false;
  }
  return i < path.length && matchName(pattern[p]!, path[i]!) && matchFolders(pattern, p + 1, path, i + 1);
}

/** Walks both once; on a mismatch goes back to the last `*` and lets it take one character more. */
function matchName(pattern: string, name: string): boolean {
  let p = 0;
  let star = -1;
  let from = 0;
  for (let i = 0; i < name.length; ) {
    if (pattern[p] === '*') {
      star = p;
      from = i;
      p += 1;
    } else if (pattern[p] === '?' || pattern[p] === name[i]) {
      p += 1;
      i += 1;
    } else if (star >= 0) {
      p = star + 1;
      from += 1;
      i = from;
    } else return false;
  }
  while (pattern[p] === '*') p += 1;
  return p === pattern.length;
}

/** Files of the listing that a pattern means: where it names no extension, only capture files (.c3d). */
export function filesOfPattern(pattern: string, listing: readonly string[]): readonly string[] {
  const last = pattern.slice(pattern.lastIndexOf('/') + 1);
  const anyExtension = !last.includes('.');
  return listing.filter(
    (path) => matchesPattern(pattern, path) && (!anyExtension || path.toLowerCase().endsWith('.c3d')),
  );
}

/** Folders (each ending in `/`) that a pattern ending in `/` means. */
export function foldersOfPattern(pattern: string, folders: readonly string[]): readonly string[] {
  const bare = pattern.slice(0, -1);
  return folders.filter((folder) => matchesPattern(bare, folder.slice(0, -1)));
}

/** Why a path may not be used below the data folder, or null where it may. */
export function pathTrouble(path: string): string | null {
  if (path.includes('\\')) return `write / between folders: ${path.replaceAll('\\', '/')}`;
  if (path.startsWith('/') || /^[A-Za-z]:/.test(path)) {
    return 'paths start in the data folder: leave out the part before it, or say --data FOLDER';
  }
  if (path.split('/').includes('..'))
    return 'a path may not leave the data folder; say --data FOLDER to start higher up';
  return null;
}

/** `./a//b` as `a/b`; a slash at the end, which means a folder, stays. */
export function tidyPath(path: string): string {
  const tidy = path
    .split('/')
    .filter((part) => part !== '' && part !== '.')
    .join('/');
  return path.endsWith('/') && tidy !== '' ? `${tidy}/` : tidy;
}
