import {
  Controller,
  Delete,
  Get,
  HttpCode,
  Inject,
  Param,
  Post,
  Query,
  Req,
  StreamableFile,
} from '@nestjs/common';
import { ApiNoContentResponse, ApiOkResponse, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { Request } from 'express';
import { ZodResponse } from 'nestjs-zod';
import { CalendarService } from '../../../pages/plan/calendar.service.js';
import { DayPlanService } from '../../../pages/plan/day-plan.service.js';
import { personOf, type Identity } from '../../../people/identity.js';
import { Allows, Public, Who } from '../../access/allows.js';
import { Place } from '../../access/at-this-machine.js';
import { CalendarAddressDto, DayPlanDto, NewCalendarAddressDto, PlanQueryDto } from '../../dto.js';
import { parsed } from '../../parameters.js';

const calendar = { schema: { type: 'string' as const }, description: 'iCalendar, RFC 5545' };

const asCalendar = (text: string) =>
  new StreamableFile(Buffer.from(text), {
    type: 'text/calendar; charset=utf-8',
    disposition: 'attachment; filename="coldrounds-visits.ics"',
  });

@ApiTags('plan')
@Controller('api')
export class PlanController {
  constructor(
    @Inject(DayPlanService) private readonly plans: DayPlanService,
    @Inject(CalendarService) private readonly calendars: CalendarService,
    @Inject(Place) private readonly place: Place,
  ) {}

  @Get('day-plan')
  @Allows('note', 'filtered')
  @ZodResponse({
    status: 200,
    type: DayPlanDto,
    description: 'What is handed over to a person, by site, with what else is due there',
  })
  plan(@Query(parsed(PlanQueryDto)) { person, until }: PlanQueryDto, @Who() who: Identity) {
    return this.plans.plan(person ?? personOf(who), until ?? null, who);
  }

  @Get('day-plan/calendar.ics')
  @Allows('note', 'filtered')
  @ApiProduces('text/calendar')
  @ApiOkResponse(calendar)
  async download(
    @Query(parsed(PlanQueryDto)) { person }: PlanQueryDto,
    @Who() who: Identity,
    @Req() request: Request,
  ) {
    return asCalendar(await this.calendars.calendar(person ?? personOf(who), who, this.addressOf(request)));
  }

  /** Read by calendar programs, which do not sign in: the secret in the path is what opens it. */
  @Get('calendars/:file')
  @Public()
  @ApiProduces('text/calendar')
  @ApiOkResponse(calendar)
  async subscribed(@Param('file') file: string, @Req() request: Request) {
    return asCalendar(await this.calendars.subscribed(file, this.addressOf(request)));
  }

  @Get('calendar-address')
  @Allows('note', 'no-site')
  @ZodResponse({ status: 200, type: CalendarAddressDto, description: "The person's own calendar address" })
  async address(@Who() who: Identity) {
    return { address: await this.calendars.address(who) };
  }

  @Post('calendar-address')
  @Allows('note', 'no-site')
  @ZodResponse({
    status: 201,
    type: NewCalendarAddressDto,
    description: 'A new address at which calendar programs read one’s own work; an earlier one becomes void',
  })
  async makeAddress(@Who() who: Identity) {
    return { path: `/api/calendars/${await this.calendars.makeAddress(who)}.ics` };
  }

  @Delete('calendar-address')
  @Allows('note', 'no-site')
  @HttpCode(204)
  @ApiNoContentResponse({ description: 'The calendar address is void' })
  voidAddress(@Who() who: Identity): Promise<void> {
    return this.calendars.voidAddress(who);
  }

  private addressOf(request: Request): string {
    return (this.place.publicUrl ?? `${request.protocol}://${request.headers.host}`).replace(/\/$/, '');
  }
}
