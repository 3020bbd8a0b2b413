/** UTF-16 where a mark at the start says so, UTF-8, or else the encoding of older Windows programs. */
export function decodedText(content: Buffer): string {
  if (content[0] === 0xff && content[1] === 0xfe) return new TextDecoder('utf-16le').decode(content);
  if (content[0] === 0xfe && content[1] === 0xff) return new TextDecoder('utf-16be').decode(content);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(content);
  } catch {
    return new TextDecoder('windows-1252').decode(content);
  }
}
