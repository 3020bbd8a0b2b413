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
  Put,
  Req,
  Res,
} from '@nestjs/common';
import { ApiNoContentResponse, ApiTags } from '@nestjs/swagger';
import type { Request, Response } from 'express';
import { ZodResponse } from 'nestjs-zod';
import type { Identity } from '../../../people/identity.js';
import { SecondFactorService } from '../../../people/second-factor/second-factor.service.js';
import { Allows, AllowsBeforeSecondFactor, Who } from '../../access/allows.js';
import { addressOf, SessionAnswers } from '../../access/session-answers.js';
import {
  BothShownDto,
  CodeDto,
  ConfirmedSecondFactorDto,
  PasswordShownDto,
  RecoveryCodesDto,
  RecoveryCodesLeftDto,
  SecondFactorEnrolmentDto,
  SecondFactorRuleDto,
  SessionDto,
} from '../../dto.js';
import { parsed } from '../../parameters.js';

@ApiTags('people')
@Controller('api')
export class SecondFactorController {
  constructor(
    @Inject(SecondFactorService) private readonly secondFactors: SecondFactorService,
    @Inject(SessionAnswers) private readonly answers: SessionAnswers,
  ) {}

  @Post('session/second-factor')
  @AllowsBeforeSecondFactor()
  @HttpCode(200)
  @ZodResponse({
    status: 200,
    type: SecondFactorEnrolmentDto,
    description: 'The secret of a new second factor; it is asked for once its first code has been confirmed',
  })
  begin(
    @Body(parsed(PasswordShownDto)) { password }: PasswordShownDto,
    @Who() who: Identity,
    @Req() request: Request,
  ) {
    return this.secondFactors.begin(who, { password, address: addressOf(request) });
  }

  @Post('session/second-factor/confirm')
  @AllowsBeforeSecondFactor()
  @HttpCode(200)
  @ZodResponse({
    status: 200,
    type: ConfirmedSecondFactorDto,
    description: 'The second factor is in use, other sessions have ended; with the recovery codes',
  })
  async confirm(
    @Body(parsed(CodeDto)) { code }: CodeDto,
    @Who() who: Identity,
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
  ) {
    const { started, recoveryCodes } = await this.secondFactors.confirm(who, {
      code,
      address: addressOf(request),
    });
    return { session: await this.answers.started(request, response, started), recoveryCodes };
  }

  @Get('session/second-factor/recovery-codes')
  @Allows('read', 'no-site')
  @ZodResponse({ status: 200, type: RecoveryCodesLeftDto, description: 'How many recovery codes are left' })
  async left(@Who() who: Identity) {
    return { left: await this.secondFactors.recoveryCodesLeft(who) };
  }

  @Post('session/second-factor/recovery-codes')
  @Allows('read', 'no-site')
  @HttpCode(200)
  @ZodResponse({
    status: 200,
    type: RecoveryCodesDto,
    description: 'New recovery codes; the earlier ones work no more',
  })
  async renew(@Body(parsed(BothShownDto)) body: BothShownDto, @Who() who: Identity, @Req() request: Request) {
    return {
      recoveryCodes: await this.secondFactors.renewRecoveryCodes(who, {
        ...body,
        address: addressOf(request),
      }),
    };
  }

  @Post('session/second-factor/off')
  @Allows('read', 'no-site')
  @HttpCode(200)
  @ZodResponse({
    status: 200,
    type: SessionDto,
    description: 'No code is asked for any more, other sessions have ended',
  })
  async off(
    @Body(parsed(BothShownDto)) body: BothShownDto,
    @Who() who: Identity,
    @Req() request: Request,
    @Res({ passthrough: true }) response: Response,
  ) {
    const started = await this.secondFactors.turnOff(who, { ...body, address: addressOf(request) });
    return this.answers.started(request, response, started);
  }

  @Delete('accounts/:id/second-factor')
  @Allows('administer')
  @HttpCode(204)
  @ApiNoContentResponse({ description: 'The account has no second factor any more; its sessions have ended' })
  takeAway(@Param('id', ParseIntPipe) id: number, @Who() who: Identity): Promise<void> {
    return this.secondFactors.takeAway(who, id);
  }

  @Get('second-factor-rule')
  @Allows('administer')
  @ZodResponse({ status: 200, type: SecondFactorRuleDto, description: 'Roles that need a second factor' })
  async rule() {
    return { roles: await this.secondFactors.rolesThatNeedIt() };
  }

  @Put('second-factor-rule')
  @Allows('administer')
  @ZodResponse({ status: 200, type: SecondFactorRuleDto, description: 'The same as changed' })
  async setRule(@Body(parsed(SecondFactorRuleDto)) { roles }: SecondFactorRuleDto, @Who() who: Identity) {
    return { roles: await this.secondFactors.setRolesThatNeedIt(who, roles) };
  }
}
