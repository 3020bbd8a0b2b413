import { Body, Controller, Get, HttpCode, Inject, Param, ParseIntPipe, Post, Put } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import type { Identity } from '../../../people/identity.js';
import { NotAllowedError, seesSite } from '../../../people/identity.js';
import { RegistrationViewService } from '../../../registry/changing/registration-view.service.js';
import { RegistrationService } from '../../../registry/changing/registration.service.js';
import { Allows, Who } from '../../access/allows.js';
import {
  CircuitMoveDto,
  ModuleMoveDto,
  RegisteredSiteDto,
  RegisteredSitesDto,
  RegisteredUnitDto,
  RegistryReasonDto,
  SiteWishDto,
  UnitChangeDto,
  UnitCheckDto,
  UnitJudgedDto,
  UnitMoveDto,
  UnitWishDto,
} from '../../dto.js';
import { instant_s, parsed } from '../../parameters.js';

const because = ({ reason, holdsFrom }: { reason: string; holdsFrom: string | null }) => ({
  reason,
  holdsFrom_s: holdsFrom === null ? null : instant_s(holdsFrom),
});

@ApiTags('registry')
@Controller('api/registry/sites')
export class RegistryController {
  constructor(
    @Inject(RegistrationService) private readonly registration: RegistrationService,
    @Inject(RegistrationViewService) private readonly views: RegistrationViewService,
  ) {}

  @Get()
  @Allows('read', 'filtered')
  @ZodResponse({ status: 200, type: RegisteredSitesDto, description: 'All sites, as registered' })
  sites(@Who() who: Identity) {
    return this.views.sites(who);
  }

  @Post()
  @Allows('register')
  @ZodResponse({ status: 201, type: RegisteredSiteDto, description: 'The new site' })
  async addSite(@Body(parsed(SiteWishDto)) body: SiteWishDto, @Who() who: Identity) {
    await this.registration.addSite(who, body.site, because(body));
    return this.views.site(body.site.key);
  }

  @Get(':site')
  @ZodResponse({
    status: 200,
    type: RegisteredSiteDto,
    description: 'A site, its units and how it was changed',
  })
  site(@Param('site') site: string) {
    return this.views.site(site);
  }

  @Put(':site')
  @Allows('register')
  @ZodResponse({ status: 200, type: RegisteredSiteDto, description: 'The site as changed' })
  async changeSite(
    @Param('site') site: string,
    @Body(parsed(SiteWishDto)) body: SiteWishDto,
    @Who() who: Identity,
  ) {
    await this.registration.changeSite(who, site, body.site, because(body));
    return this.views.site(site);
  }

  @Post(':site/check')
  @HttpCode(200)
  @Allows('register')
  @ZodResponse({
    status: 200,
    type: UnitJudgedDto,
    description:
      'What cannot or hardly can be right in a draft, and what its unknown figures cost; writes nothing',
  })
  check(@Param('site') site: string, @Body(parsed(UnitCheckDto)) body: UnitCheckDto) {
    return this.views.check({ site, unit: body.of }, body.unit);
  }

  @Post(':site/units')
  @Allows('register')
  @ZodResponse({ status: 201, type: RegisteredUnitDto, description: 'The new unit' })
  async addUnit(
    @Param('site') site: string,
    @Body(parsed(UnitWishDto)) body: UnitWishDto,
    @Who() who: Identity,
  ) {
    await this.registration.addUnit(who, site, body.unit, because(body));
    return this.views.unit({ site, unit: body.unit.key });
  }

  @Get(':site/units/:unit')
  @ZodResponse({
    status: 200,
    type: RegisteredUnitDto,
    description: 'A unit, as registered and as it was changed',
  })
  unit(@Param('site') site: string, @Param('unit') unit: string) {
    return this.views.unit({ site, unit });
  }

  @Put(':site/units/:unit')
  @Allows('register')
  @ZodResponse({
    status: 200,
    type: RegisteredUnitDto,
    description: 'The unit as changed. 409: somebody changed it meanwhile; read again',
  })
  async changeUnit(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Body(parsed(UnitChangeDto)) body: UnitChangeDto,
    @Who() who: Identity,
  ) {
    const { version } = body;
    await this.registration.changeUnit(who, { site, unit }, body.unit, { ...because(body), version });
    return this.views.unit({ site, unit });
  }

  @Post(':site/units/:unit/retire')
  @HttpCode(200)
  @Allows('register')
  @ZodResponse({ status: 200, type: RegisteredUnitDto, description: 'The unit, out of service' })
  async retire(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Body(parsed(RegistryReasonDto)) { reason }: RegistryReasonDto,
    @Who() who: Identity,
  ) {
    await this.registration.retire(who, { site, unit }, reason);
    return this.views.unit({ site, unit });
  }

  @Post(':site/units/:unit/bring-back')
  @HttpCode(200)
  @Allows('register')
  @ZodResponse({ status: 200, type: RegisteredUnitDto, description: 'The unit, in service again' })
  async bringBack(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Body(parsed(RegistryReasonDto)) { reason }: RegistryReasonDto,
    @Who() who: Identity,
  ) {
    await this.registration.bringBack(who, { site, unit }, reason);
    return this.views.unit({ site, unit });
  }

  @Post(':site/units/:unit/move')
  @HttpCode(200)
  @Allows('register')
  @ZodResponse({ status: 200, type: RegisteredUnitDto, description: 'The unit at its new place' })
  async move(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Body(parsed(UnitMoveDto)) body: UnitMoveDto,
    @Who() who: Identity,
  ) {
    if (!seesSite(who, body.site)) throw new NotAllowedError('Your account does not cover that site.');
    const to = { site: body.site, unit: body.key };
    await this.registration.move(who, { site, unit }, to, because(body));
    return this.views.unit(to);
  }

  @Post(':site/units/:unit/circuits/:circuit/move')
  @HttpCode(200)
  @Allows('register')
  @ZodResponse({
    status: 200,
    type: RegisteredUnitDto,
    description: 'The unit that the circuit belongs to now',
  })
  async moveCircuit(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('circuit', ParseIntPipe) circuit: number,
    @Body(parsed(CircuitMoveDto)) body: CircuitMoveDto,
    @Who() who: Identity,
  ) {
    return this.movePart(
      who,
      { kind: 'circuit', number: circuit, of: { site, unit } },
      { ...body, circuits: [] },
    );
  }

  @Post(':site/units/:unit/modules/:module/move')
  @HttpCode(200)
  @Allows('register')
  @ZodResponse({
    status: 200,
    type: RegisteredUnitDto,
    description: 'The unit that the module belongs to now',
  })
  async moveModule(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('module', ParseIntPipe) module: number,
    @Body(parsed(ModuleMoveDto)) body: ModuleMoveDto,
    @Who() who: Identity,
  ) {
    return this.movePart(who, { kind: 'module', number: module, of: { site, unit } }, body);
  }

  private async movePart(
    who: Identity,
    part: Parameters<RegistrationService['movePart']>[1],
    { site, unit, number, circuits, ...why }: ModuleMoveDto,
  ) {
    if (!seesSite(who, site)) throw new NotAllowedError('Your account does not cover that site.');
    const to = { site, unit };
    await this.registration.movePart(who, part, { unit: to, number, circuits }, because(why));
    return this.views.unit(to);
  }
}
