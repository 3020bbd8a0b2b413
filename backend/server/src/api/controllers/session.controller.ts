import { Body, Controller, Get, HttpCode, Inject, Post, Req, Res } from '@nestjs/common';
import { ApiNoContentResponse, ApiTags } from '@nestjs/swagger';
import type { Request, Response } from 'express';
import { ZodResponse } from 'nestjs-zod';
import { AccessService } from '../../people/access.service.js';
import { AccountService } from '../../people/account.service.js';
import type { Identity } from '../../people/identity.js';
import { SignInService, type StartedSession } from '../../people/sign-in/sign-in.service.js';
import { Allows, Public, Who } from '../access/allows.js';
import { Place } from '../access/at-this-machine.js';
import { clearSession, deviceOf, sessionOf, setSession } from '../access/cookies.js';
import {
  InvitationDto,
  InvitationLookDto,
  JoinDto,
  PasswordChangeDto,
  SessionDto,
  SignInDto,
  SwitchDto,
} from '../dto.js';
import { parsed } from '../parameters.js';

const addressOf = (request: Request): string => request.ip ?? request.socket.remoteAddress ?? '';

@ApiTags('people')
@Controller('api')
export class SessionController {
  constructor(
    @Inject(AccessService) private readonly access: AccessService,
    @Inject(SignInService) private readonly signIns: SignInService,
    @Inject(AccountService) private readonly accounts: AccountService,
    @Inject(Place) private readonly place: Place,
  ) {}

  @Get('session')
  @Public()
  @ZodResponse({ status: 200, type: SessionDto, description: 'Who is signed in, and what they may do' })
  session(@Who() who: Identity | null) {
    return this.described(who);
  }

  @Post('sign-in')
  @Public()
  @HttpCode(200)
  @ZodResponse({ status: 200, type: SessionDto, description: 'Signed in; the session is in the cookie' })
  async signIn(
    @Body(parsed(SignInDto)) body: SignInDto,
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
  ) {
    const attempt = { ...body, address: addressOf(request), device: deviceOf(request) };
    return this.started(response, await this.signIns.signIn(attempt));
  }

  @Post('sign-out')
  @Allows('read', 'no-site')
  @HttpCode(204)
  @ApiNoContentResponse({ description: 'The session has ended' })
  async signOut(
    @Who() who: Identity,
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
  ): Promise<void> {
    await this.signIns.signOut(sessionOf(request), who);
    clearSession(response);
  }

  @Post('session/person')
  @Allows('read', 'no-site')
  @HttpCode(200)
  @ZodResponse({
    status: 200,
    type: SessionDto,
    description: 'In the demo: goes on as another invented person',
  })
  async switchTo(
    @Body(parsed(SwitchDto)) { person }: SwitchDto,
    @Who() who: Identity,
    @Res({ passthrough: true }) response: Response,
  ) {
    return this.started(response, await this.signIns.switchTo(person, who));
  }

  @Post('session/password')
  @Allows('read', 'no-site')
  @HttpCode(200)
  @ZodResponse({
    status: 200,
    type: SessionDto,
    description: 'The password is changed, other sessions have ended',
  })
  async changePassword(
    @Body(parsed(PasswordChangeDto)) body: PasswordChangeDto,
    @Who() who: Identity,
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
  ) {
    const change = { ...body, address: addressOf(request) };
    return this.started(response, await this.signIns.changePassword(who, change));
  }

  @Post('invitations/look')
  @Public()
  @HttpCode(200)
  @ZodResponse({ status: 200, type: InvitationDto, description: 'What a one-time link is for' })
  look(@Body(parsed(InvitationLookDto)) { token }: InvitationLookDto) {
    return this.accounts.invitation(token);
  }

  @Post('invitations/join')
  @Public()
  @HttpCode(200)
  @ZodResponse({ status: 200, type: SessionDto, description: 'The link is used up and its owner signed in' })
  async join(
    @Body(parsed(JoinDto)) body: JoinDto,
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
  ) {
    return this.started(response, await this.accounts.join({ ...body, address: addressOf(request) }));
  }

  private started(response: Response, session: StartedSession) {
    setSession(response, this.place, session);
    return this.described(session.identity);
  }

  private async described(who: Identity | null) {
    const mode = await this.access.mode();
    return {
      mode,
      person:
        who === null
          ? null
          : {
              id: who.personId,
              name: who.name,
              role: who.role,
              sites: who.sites === null ? null : [...who.sites],
              abilities: [...who.abilities],
            },
      switchTo: mode === 'demo' && who?.by === 'demo' ? await this.access.inventedPeople() : [],
    };
  }
}
