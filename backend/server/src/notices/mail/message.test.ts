import { describe, expect, it } from 'vitest';
import { htmlOf, subjectOf, textOf, type MailMessage } from './message.js';

const message: MailMessage = {
  subject: 'Today: Roof\r\nBcc: somebody@example.org',
  opening: 'A unit needs a look today.',
  parts: [
    {
      heading: 'Today',
      lines: [{ text: '<img src=x onerror=alert(1)> & "co": hunts.', path: '/units/a/b' }],
    },
  ],
  link: { words: 'The round', path: '/' },
};

describe('a message', () => {
  it('has a subject of one line, whatever a unit is called', () => {
    expect(subjectOf(message)).toBe('Today: Roof Bcc: somebody@example.org');
  });

  it('escapes what comes from the registry where it is a page', () => {
    const html = htmlOf(message, 'https://cold.example.org');
    expect(html).not.toContain('<img');
    expect(html).toContain('&lt;img src=x onerror=alert(1)&gt; &amp; &quot;co&quot;: hunts.');
    expect(html).toContain('href="https://cold.example.org/units/a/b"');
  });

  it('says the cautions, that nothing is commanded, and how to end it', () => {
    for (const text of [textOf(message, 'https://c.example'), htmlOf(message, 'https://c.example')]) {
      expect(text).toContain('qualified, licensed people');
      expect(text).toContain('never commands equipment');
      expect(text).toContain('https://c.example/account/notices');
    }
  });
});
