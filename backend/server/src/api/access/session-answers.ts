import type { Request, Response } from 'express';
import type { AccessService } from '../../people/access.service.js';
import type { Identity } from '../../people/identity.js';
import type { OpenIdService } from '../../people/openid/openid.service.js';
import type { SignInService, StartedSession } from '../../people/sign-in/sign-in.service.js';
import type { Place } from './at-this-machine.js';
import { sessionOf, setSession } from './cookies.js';

export interface SessionAnswerParts {
  access: AccessService;
  signIn: SignInService;
  openId: OpenIdService;
  place: Place;
}

export const addressOf = (request: Request): string => request.ip ?? request.socket.remoteAddress ?? '';

/** What is answered about a session, and the cookies that hold it. */
export class SessionAnswers {
  constructor(private readonly parts: SessionAnswerParts) {}

  async started(request: Request, response: Response, session: StartedSession) {
    await this.begin(request, response, session);
    return this.described(session.identity);
  }

  /** The session that the browser had before ends. */
  async begin(request: Request, response: Response, session: StartedSession): Promise<void> {
    await this.parts.signIn.forget(sessionOf(request));
    setSession(response, this.parts.place, session);
  }

  async described(who: Identity | null) {
    const { access, openId } = this.parts;
    const mode = await access.mode();
    return {
      mode,
      openId: openId.name,
      person:
        who === null
          ? null
          : {
              id: who.personId,
              name: who.name,
              role: who.role,
              sites: who.sites === null ? null : [...who.sites],
              abilities: [...who.abilities],
              secondFactor: who.secondFactor,
            },
      switchTo: mode === 'demo' && who?.by === 'demo' ? await access.inventedPeople() : [],
    };
  }
}
