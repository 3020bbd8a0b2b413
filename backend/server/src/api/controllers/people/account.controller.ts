import {
  Body,
  Controller,
  Delete,
  Get,
  HttpCode,
  Inject,
  Param,
  ParseIntPipe,
  Patch,
  Post,
  Query,
} from '@nestjs/common';
import { ApiNoContentResponse, ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { AccountService } from '../../../people/account.service.js';
import { AuditService } from '../../../people/audit.service.js';
import type { Identity } from '../../../people/identity.js';
import type { PersonRole, TokenScope } from '../../../people/roles.js';
import { TokenService } from '../../../people/token.service.js';
import type { StoredToken } from '../../../storage/people/api-token.repository.js';
import type { StoredPerson } from '../../../storage/people/person.repository.js';
import { Allows, Who } from '../../access/allows.js';
import {
  AccountChangeDto,
  AccountDto,
  AccountListDto,
  ApiTokenListDto,
  ApiTokenWishDto,
  AuditLogDto,
  AuditQueryDto,
  InviteDto,
  NewApiTokenDto,
  OneTimeLinkDto,
  PeopleDto,
} from '../../dto.js';
import { parsed } from '../../parameters.js';

const accountOf = ({
  id,
  name,
  email,
  role,
  sites,
  invented,
  active,
  createdAt,
  signedInAt,
  secondFactor,
}: StoredPerson) => ({
  ...{ id, name, email, sites, invented, active, secondFactor },
  role: role as PersonRole,
  createdAt: createdAt.toISOString(),
  signedInAt: signedInAt?.toISOString() ?? null,
});

const tokenOf = ({ id, name, scopes, createdAt, expiresAt, usedAt, revokedAt }: StoredToken) => ({
  ...{ id, name },
  scopes: scopes as TokenScope[],
  createdAt: createdAt.toISOString(),
  expiresAt: expiresAt.toISOString(),
  usedAt: usedAt?.toISOString() ?? null,
  revokedAt: revokedAt?.toISOString() ?? null,
});

/** After the `#`, so that neither server logs nor other pages' servers see it. */
const linkOf = (token: string) => ({ path: `/join#${token}` });

@ApiTags('people')
@Controller('api')
export class AccountController {
  constructor(
    @Inject(AccountService) private readonly accounts: AccountService,
    @Inject(TokenService) private readonly tokens: TokenService,
    @Inject(AuditService) private readonly audit: AuditService,
  ) {}

  @Get('people')
  @Allows('note', 'no-site')
  @ZodResponse({ status: 200, type: PeopleDto, description: 'People to whom work can be handed' })
  async people() {
    const all = await this.accounts.list();
    return {
      people: all
        .filter(({ active }) => active)
        .map(({ id, name, role }) => ({ id, name, role: role as PersonRole })),
    };
  }

  @Get('accounts')
  @Allows('administer')
  @ZodResponse({ status: 200, type: AccountListDto, description: 'All accounts' })
  async list() {
    return { accounts: (await this.accounts.list()).map(accountOf) };
  }

  @Post('accounts')
  @Allows('administer')
  @ZodResponse({
    status: 201,
    type: OneTimeLinkDto,
    description: 'A link by which somebody makes an account',
  })
  async invite(@Body(parsed(InviteDto)) body: InviteDto, @Who() who: Identity) {
    return linkOf(await this.accounts.invite(who, body));
  }

  @Patch('accounts/:id')
  @Allows('administer')
  @ZodResponse({ status: 200, type: AccountDto, description: 'The account as changed' })
  async change(
    @Param('id', ParseIntPipe) id: number,
    @Body(parsed(AccountChangeDto)) body: AccountChangeDto,
    @Who() who: Identity,
  ) {
    return accountOf(await this.accounts.change(who, id, body));
  }

  @Post('accounts/:id/link')
  @Allows('administer')
  @ZodResponse({
    status: 201,
    type: OneTimeLinkDto,
    description: 'A link by which the person sets a new password',
  })
  async link(@Param('id', ParseIntPipe) id: number, @Who() who: Identity) {
    return linkOf(await this.accounts.resetLink(who, id));
  }

  @Post('accounts/:id/sign-out')
  @Allows('administer')
  @HttpCode(204)
  @ApiNoContentResponse({ description: 'All sessions of the account have ended' })
  endSessions(@Param('id', ParseIntPipe) id: number, @Who() who: Identity): Promise<void> {
    return this.accounts.endSessions(who, id);
  }

  @Get('audit-log')
  @Allows('administer')
  @ZodResponse({ status: 200, type: AuditLogDto, description: 'Who did what and when, newest first' })
  log(@Query(parsed(AuditQueryDto)) { before, limit }: AuditQueryDto) {
    return this.audit.page(before ?? null, limit);
  }

  @Get('tokens')
  @Allows('read', 'no-site')
  @ZodResponse({ status: 200, type: ApiTokenListDto, description: "The person's own API tokens" })
  async ownTokens(@Who() who: Identity) {
    return { tokens: (await this.tokens.list(who)).map(tokenOf) };
  }

  @Post('tokens')
  @Allows('read', 'no-site')
  @ZodResponse({ status: 201, type: NewApiTokenDto, description: 'A new API token with its secret' })
  async makeToken(@Body(parsed(ApiTokenWishDto)) body: ApiTokenWishDto, @Who() who: Identity) {
    const { token, secret } = await this.tokens.make(who, body);
    return { token: tokenOf(token), secret };
  }

  @Delete('tokens/:id')
  @Allows('read', 'no-site')
  @HttpCode(204)
  @ApiNoContentResponse({ description: 'The token is not valid any more' })
  revoke(@Param('id', ParseIntPipe) id: number, @Who() who: Identity): Promise<void> {
    return this.tokens.revoke(who, id);
  }
}
