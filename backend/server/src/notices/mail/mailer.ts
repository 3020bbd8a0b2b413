import { createTransport } from 'nodemailer';
import type { MailConfig } from '../../config/index.js';
import { RefusedForGoodError } from '../outbox/back-off.js';
import { htmlOf, subjectOf, textOf, type MailMessage } from './message.js';

/** What a mail server answered when it was asked whether it would take mail. */
export interface MailCheck {
  ok: boolean;
  /** What was wrong. */
  problem: string | null;
}

/** Sends messages through the mail server of the settings. */
export class Mailer {
  private readonly transport;

  constructor(
    readonly config: MailConfig,
    private readonly address: string,
  ) {
    this.transport = createTransport({
      host: config.host,
      port: config.port,
      secure: config.tls === 'implicit',
      requireTLS: config.tls === 'starttls',
      ignoreTLS: config.tls === 'off',
      auth: config.user === undefined ? undefined : { user: config.user, pass: config.password ?? '' },
      pool: true,
      maxConnections: 4,
      connectionTimeout: 15_000,
      greetingTimeout: 15_000,
      socketTimeout: 30_000,
      disableFileAccess: true,
      disableUrlAccess: true,
    });
  }

  /** `id` stays the same over all tries, so that a mailbox can tell a second copy. */
  async send(email: string, id: number, message: MailMessage): Promise<void> {
    const from = this.config.from;
    const domain = /@([^\s>]+)>?$/.exec(from)?.[1] ?? 'localhost';
    try {
      await this.transport.sendMail({
        from,
        to: { name: '', address: email },
        subject: subjectOf(message),
        text: textOf(message, this.address),
        html: htmlOf(message, this.address),
        messageId: `<coldrounds-${id}@${domain}>`,
        // RFC 3834: no answering machine is to answer.
        headers: { 'Auto-Submitted': 'auto-generated' },
      });
    } catch (error) {
      if (isForGood(error)) throw new RefusedForGoodError((error as Error).message);
      throw error;
    }
  }

  async check(): Promise<MailCheck> {
    try {
      await this.transport.verify();
      return { ok: true, problem: null };
    } catch (error) {
      return { ok: false, problem: (error as Error).message.slice(0, 300) };
    }
  }

  close(): void {
    this.transport.close();
  }
}

/** RFC 5321, 4.2.1: 5yz is for good. Only of the mailbox itself: a server that refuses us may be set right. */
const isForGood = (error: unknown): boolean => {
  const { responseCode, command } = error as { responseCode?: number; command?: string };
  return (responseCode ?? 0) >= 500 && command === 'RCPT TO';
};
