import { SMTPServer } from 'smtp-server';
import type { AddressInfo } from 'node:net';

export interface Mail {
  from: string;
  to: string[];
  /** Headers and body, as they were sent. */
  source: string;
  header: (name: string) => string | undefined;
}

export interface MailServer {
  port: number;
  /** What it has taken. */
  received: Mail[];
  /** What came whole while it did not answer; it was not taken. */
  held: Mail[];
  /** From so many taken mails on it answers no mail more; null: it answers all. */
  holdAfter: (taken: number | null) => void;
  /** What it says to a recipient; null: it takes the mail. */
  refuse: (answer: ((to: string) => { code: number; words: string } | null) | null) => void;
  stop: () => Promise<void>;
}

/** A mail server on this machine that takes all mail, without TLS, and keeps it. */
export async function startMailServer(port = 0): Promise<MailServer> {
  const received: Mail[] = [];
  const held: Mail[] = [];
  let holdAfter = Infinity;
  let objection: ((to: string) => { code: number; words: string } | null) | null = null;
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS', 'AUTH'],
    onRcptTo({ address }, _session, tell) {
      const said = objection?.(address) ?? null;
      if (said === null) return tell();
      tell(Object.assign(new Error(said.words), { responseCode: said.code }));
    },
    onData(stream, session, done) {
      let source = '';
      stream.on('data', (chunk: Buffer) => (source += chunk.toString()));
      stream.on('end', () => {
        const { mailFrom, rcptTo } = session.envelope;
        // Long headers are folded: a line that begins with a space belongs to the one before.
        const head = source.slice(0, source.indexOf('\r\n\r\n')).replace(/\r\n[ \t]+/g, ' ');
        const holding = received.length >= holdAfter;
        (holding ? held : received).push({
          from: mailFrom ? mailFrom.address : '',
          to: rcptTo.map(({ address }) => address),
          source,
          header: (name) =>
            head
              .split('\r\n')
              .find((line) => line.toLowerCase().startsWith(`${name.toLowerCase()}:`))
              ?.slice(name.length + 1)
              .trim(),
        });
        if (!holding) done();
      });
    },
  });
  // A sender that is killed leaves its connections broken.
  server.on('error', () => {});
  await new Promise<void>((up) => server.listen(port, '127.0.0.1', () => up()));
  return {
    port: (server.server.address() as AddressInfo).port,
    ...{ received, held },
    holdAfter: (taken) => (holdAfter = taken ?? Infinity),
    refuse: (answer) => (objection = answer),
    stop: () => new Promise((stopped) => server.close(() => stopped())),
  };
}

/** The text of a mail, with its quoted-printable lines put together (RFC 2045, 6.7). */
export const textOfMail = ({ source }: Mail): string =>
  Buffer.from(
    source
      .replace(/=\r\n/g, '')
      .replace(/=([0-9A-F]{2})/g, (_, hex: string) => String.fromCharCode(parseInt(hex, 16))),
    'latin1',
  ).toString('utf8');
