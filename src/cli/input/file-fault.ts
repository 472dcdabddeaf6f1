const WORDS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder',
  EISDIR: 'it is a folder',
  ENOTDIR: 'part of its path is not a folder',
  EACCES: 'you may not do that there',
  EPERM: 'you may not do that there',
  EROFS: 'that disk is read-only',
  ENOSPC: 'there is no space left on the disk',
  EDQUOT: 'there is no space left on the disk',
};

/** Why a file cannot be read or written, in words where the cause is a common one. */
export function fileFault(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  return WORDS[code ?? ''] ?? message;
}
