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
  Put,
} from '@nestjs/common';
import { ApiNoContentResponse, ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { NoticeService } from '../../../notices/notice.service.js';
import { WebhookService } from '../../../notices/webhooks/webhook.service.js';
import type { Identity } from '../../../people/identity.js';
import { Allows, Who } from '../../access/allows.js';
import {
  DeadLetterListDto,
  DeliveryListDto,
  MailCheckDto,
  MailStateDto,
  NoticeWishDto,
  OwnNoticesDto,
  WebhookChangeDto,
  WebhookDto,
  WebhookListDto,
  WebhookSecretDto,
  WebhookWishDto,
} from '../../dto.js';
import { parsed } from '../../parameters.js';

@ApiTags('notices')
@Controller('api')
export class NoticeController {
  constructor(@Inject(NoticeService) private readonly notices: NoticeService) {}

  @Get('notices')
  @Allows('read', 'no-site')
  @ZodResponse({ status: 200, type: OwnNoticesDto, description: 'What the person wants to be told' })
  own(@Who() who: Identity) {
    return this.notices.own(who);
  }

  @Put('notices')
  @Allows('read', 'no-site')
  @ZodResponse({ status: 200, type: OwnNoticesDto, description: 'Kept as sent' })
  keep(@Body(parsed(NoticeWishDto)) body: NoticeWishDto, @Who() who: Identity) {
    return this.notices.keep(who, body);
  }

  @Post('notices/test')
  @Allows('read', 'no-site')
  @HttpCode(200)
  @ZodResponse({
    status: 200,
    type: OwnNoticesDto,
    description: 'A test message is on its way to the person',
  })
  test(@Who() who: Identity) {
    return this.notices.test(who);
  }

  @Get('mail')
  @Allows('administer')
  @ZodResponse({ status: 200, type: MailStateDto, description: 'The mail server and what waits for it' })
  mail() {
    return this.notices.mailState();
  }

  @Post('mail/check')
  @Allows('administer')
  @HttpCode(200)
  @ZodResponse({
    status: 200,
    type: MailCheckDto,
    description: 'Whether the mail server lets this server in',
  })
  checkMail() {
    return this.notices.checkMail();
  }

  @Get('dead-letters')
  @Allows('administer')
  @ZodResponse({ status: 200, type: DeadLetterListDto, description: 'Messages that were given up' })
  deadLetters() {
    return this.notices.deadLetters();
  }

  @Post('dead-letters/:id/again')
  @Allows('administer')
  @HttpCode(200)
  @ZodResponse({ status: 200, type: DeadLetterListDto, description: 'It is tried from the start again' })
  again(@Param('id', ParseIntPipe) id: number, @Who() who: Identity) {
    return this.notices.sendAgain(who, id);
  }
}

@ApiTags('notices')
@Controller('api/webhooks')
export class WebhookController {
  constructor(@Inject(WebhookService) private readonly webhooks: WebhookService) {}

  @Get()
  @Allows('administer')
  @ZodResponse({ status: 200, type: WebhookListDto, description: 'Programs that are told of changes' })
  list() {
    return this.webhooks.list();
  }

  @Post()
  @Allows('administer')
  @ZodResponse({ status: 201, type: WebhookSecretDto, description: 'A new webhook with its secret' })
  make(@Body(parsed(WebhookWishDto)) body: WebhookWishDto, @Who() who: Identity) {
    return this.webhooks.make(who, body);
  }

  @Patch(':id')
  @Allows('administer')
  @ZodResponse({ status: 200, type: WebhookDto, description: 'The webhook as changed' })
  change(
    @Param('id', ParseIntPipe) id: number,
    @Body(parsed(WebhookChangeDto)) body: WebhookChangeDto,
    @Who() who: Identity,
  ) {
    return this.webhooks.change(who, id, body);
  }

  @Delete(':id')
  @Allows('administer')
  @HttpCode(204)
  @ApiNoContentResponse({ description: 'The webhook is gone, with what was to be sent to it' })
  remove(@Param('id', ParseIntPipe) id: number, @Who() who: Identity): Promise<void> {
    return this.webhooks.remove(who, id);
  }

  @Post(':id/secret')
  @Allows('administer')
  @HttpCode(200)
  @ZodResponse({ status: 200, type: WebhookSecretDto, description: 'A new secret; the old one is void' })
  secret(@Param('id', ParseIntPipe) id: number, @Who() who: Identity) {
    return this.webhooks.newSecret(who, id);
  }

  @Post(':id/test')
  @Allows('administer')
  @HttpCode(200)
  @ZodResponse({ status: 200, type: DeliveryListDto, description: 'A test message is on its way' })
  test(@Param('id', ParseIntPipe) id: number) {
    return this.webhooks.test(id);
  }

  @Get(':id/deliveries')
  @Allows('administer')
  @ZodResponse({ status: 200, type: DeliveryListDto, description: 'The last messages to the webhook' })
  deliveries(@Param('id', ParseIntPipe) id: number) {
    return this.webhooks.deliveries(id);
  }
}
