import {
  Body,
  Controller,
  Delete,
  Get,
  HttpCode,
  Inject,
  Param,
  ParseIntPipe,
  Post,
  Query,
  Req,
  Res,
} from '@nestjs/common';
import { ApiNoContentResponse, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { Request, Response } from 'express';
import { ZodResponse } from 'nestjs-zod';
import { AccountService } from '../../../people/account.service.js';
import { NotAllowedError, NotSignedInError, type Identity } from '../../../people/identity.js';
import { OpenIdService } from '../../../people/openid/openid.service.js';
import { SignInService } from '../../../people/sign-in/sign-in.service.js';
import { Allows, AllowsBeforeSecondFactor, Public, Who } from '../../access/allows.js';
import { Place } from '../../access/at-this-machine.js';
import {
  clearOpenIdAttempt,
  clearSession,
  deviceOf,
  openIdAttemptOf,
  sessionOf,
  setOpenIdAttempt,
} from '../../access/cookies.js';
import { addressOf, SessionAnswers } from '../../access/session-answers.js';
import {
  InvitationDto,
  InvitationLookDto,
  JoinDto,
  OpenIdQueryDto,
  OwnSessionsDto,
  PasswordChangeDto,
  SessionDto,
  SignedOutDto,
  SignInDto,
  SwitchDto,
} from '../../dto.js';
import { parsed } from '../../parameters.js';

@ApiTags('people')
@Controller('api')
export class SessionController {
  constructor(
    @Inject(SignInService) private readonly signIns: SignInService,
    @Inject(AccountService) private readonly accounts: AccountService,
    @Inject(OpenIdService) private readonly openIds: OpenIdService,
    @Inject(Place) private readonly place: Place,
    @Inject(SessionAnswers) private readonly answers: SessionAnswers,
  ) {}

  @Get('session')
  @Public()
  @ZodResponse({ status: 200, type: SessionDto, description: 'Who is signed in, and what they may do' })
  session(@Who() who: Identity | null) {
    return this.answers.described(who);
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
    return this.answers.started(request, response, await this.signIns.signIn(attempt));
  }

  @Post('sign-out')
  @AllowsBeforeSecondFactor()
  @HttpCode(200)
  @ZodResponse({ status: 200, type: SignedOutDto, description: 'The session has ended' })
  async signOut(
    @Who() who: Identity,
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
  ) {
    const byOpenId = await this.signIns.signOut(sessionOf(request), who);
    clearSession(response);
    // What the browser keeps of earlier answers goes too.
    response.setHeader('Clear-Site-Data', '"cache"');
    return { goOnTo: byOpenId ? await this.openIds.signOutAddress() : null };
  }

  @Get('sign-in/openid')
  @Public()
  @ApiResponse({ status: 303, description: 'To the OpenID provider; 404: none is set' })
  async beginOpenId(
    @Query(parsed(OpenIdQueryDto)) { to }: OpenIdQueryDto,
    @Req() request: Request,
    @Res() response: Response,
  ): Promise<void> {
    await this.orSayWhy(response, async () => {
      const { location, browser } = await this.openIds.begin(to ?? '/', addressOf(request));
      setOpenIdAttempt(response, this.place, browser);
      return location;
    });
  }

  @Get('sign-in/openid/return')
  @Public()
  @ApiResponse({
    status: 303,
    description: 'Back from the OpenID provider, signed in where there is an account',
  })
  async finishOpenId(@Req() request: Request, @Res() response: Response): Promise<void> {
    await this.orSayWhy(response, async () => {
      clearOpenIdAttempt(response, this.place);
      const at = request.originalUrl.indexOf('?');
      const query = at < 0 ? '' : request.originalUrl.slice(at);
      const { started, returnTo } = await this.openIds.finish(
        query,
        openIdAttemptOf(request),
        addressOf(request),
      );
      await this.answers.begin(request, response, started);
      return returnTo;
    });
  }

  /** A person looks at this answer: what went wrong is said by the page. */
  private async orSayWhy(response: Response, work: () => Promise<string>): Promise<void> {
    let location: string;
    try {
      location = await work();
    } catch (error) {
      if (error instanceof NotSignedInError) location = '/#sign-in-failed';
      else if (error instanceof NotAllowedError) location = '/#no-account';
      else throw error;
    }
    response.setHeader('Cache-Control', 'no-store');
    response.redirect(303, location);
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
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
  ) {
    return this.answers.started(request, response, await this.signIns.switchTo(person, who));
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
    return this.answers.started(request, response, await this.signIns.changePassword(who, change));
  }

  @Get('sessions')
  @Allows('read', 'no-site')
  @ZodResponse({ status: 200, type: OwnSessionsDto, description: 'The person’s own sessions, newest first' })
  async sessions(@Who() who: Identity, @Req() request: Request) {
    const sessions = await this.signIns.sessions(who, sessionOf(request));
    return {
      sessions: sessions.map(({ startedAt, usedAt, ...session }) => ({
        ...session,
        startedAt: startedAt.toISOString(),
        usedAt: usedAt.toISOString(),
      })),
    };
  }

  @Delete('sessions/:id')
  @Allows('read', 'no-site')
  @HttpCode(204)
  @ApiNoContentResponse({ description: 'The session has ended' })
  endOne(@Param('id', ParseIntPipe) id: number, @Who() who: Identity): Promise<void> {
    return this.signIns.endOne(who, id);
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
    const joined = await this.accounts.join({ ...body, address: addressOf(request) });
    return joined === null ? this.answers.described(null) : this.answers.started(request, response, joined);
  }
}
