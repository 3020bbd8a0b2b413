import { Controller, Get, Inject, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { EnergyService } from '../../../pages/energy/energy.service.js';
import type { Identity } from '../../../people/identity.js';
import { Allows, Who } from '../../access/allows.js';
import { FleetEnergyDto, UnitEnergyListDto, UnitEnergyQueryDto } from '../../dto.js';
import { parsed } from '../../parameters.js';

@ApiTags('energy')
@Controller('api/energy')
export class EnergyController {
  constructor(@Inject(EnergyService) private readonly energies: EnergyService) {}

  @Get()
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: FleetEnergyDto,
    description:
      'Energy and money given away while things wait, and saved since they were put right, by site',
  })
  fleet(@Who() who: Identity) {
    return this.energies.fleet(who);
  }

  @Get('units')
  @Allows('read', 'filtered')
  @ZodResponse({ status: 200, type: UnitEnergyListDto, description: 'The same of some units' })
  units(@Query(parsed(UnitEnergyQueryDto)) { units }: UnitEnergyQueryDto, @Who() who: Identity) {
    return this.energies.units(units.split(','), who);
  }
}
