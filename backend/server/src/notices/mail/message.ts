/** A message to a person, before it is a text or a page. */
export interface MailMessage {
  subject: string;
  /** The first line of it. */
  opening: string;
  parts: { heading: string; lines: MailLine[] }[];
  /** Where to read on. */
  link: { words: string; path: string };
}

export interface MailLine {
  text: string;
  /** Of a page of this server. */
  path?: string;
}

/** Under every message: what it is, how to end it, and the cautions that go with work on a unit. */
const closing = {
  caution:
    'This is evidence from telemetry, not a release to work. Work on refrigeration circuits is for qualified, licensed people ' +
    'under the local codes, with the usual lock-out and gas-detection practice. Coldrounds only reads; it never commands equipment.',
  end: 'You get this because you asked for it. Change or end it:',
  path: '/account/notices',
};

const oneLine = (text: string): string => text.replace(/\s+/g, ' ').trim();

export const subjectOf = ({ subject }: MailMessage): string => oneLine(subject).slice(0, 200);

/** As plain text. `address` is that of the server, without a slash at its end. */
export function textOf({ opening, parts, link }: MailMessage, address: string): string {
  const sections = parts.map(({ heading, lines }) =>
    [heading, ...lines.map(({ text }) => `- ${oneLine(text)}`)].join('\n'),
  );
  return [
    oneLine(opening),
    ...sections,
    `${link.words}: ${address}${link.path}`,
    closing.caution,
    `${closing.end} ${address}${closing.path}`,
  ].join('\n\n');
}

const escapes: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
const escaped = (text: string): string => oneLine(text).replace(/[&<>"']/g, (sign) => escapes[sign]);

/** As a page, for readers that show one; it loads nothing. */
export function htmlOf(message: MailMessage, address: string): string {
  const link = (path: string, words: string) => `<a href="${escaped(address + path)}">${escaped(words)}</a>`;
  const sections = message.parts.map(
    ({ heading, lines }) =>
      `<h2 style="font-size:1em;margin:1.4em 0 .3em">${escaped(heading)}</h2><ul style="margin:0;padding-left:1.2em">${lines
        .map(({ text, path }) => `<li>${path === undefined ? escaped(text) : link(path, text)}</li>`)
        .join('')}</ul>`,
  );
  return [
    '<!doctype html><html lang="en"><meta charset="utf-8">',
    `<title>${escaped(message.subject)}</title>`,
    '<body style="font:16px/1.45 Georgia,serif;color:#1c2321;max-width:40em">',
    `<p>${escaped(message.opening)}</p>`,
    ...sections,
    `<p>${link(message.link.path, message.link.words)}</p>`,
    `<p style="color:#555;font-size:.85em">${escaped(closing.caution)}</p>`,
    `<p style="color:#555;font-size:.85em">${escaped(closing.end)} ${link(closing.path, 'messages to you')}</p>`,
    '</body></html>',
  ].join('\n');
}
