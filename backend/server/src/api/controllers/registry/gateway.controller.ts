import { Body, Controller, Delete, Get, HttpCode, Inject, Param, ParseIntPipe, Post } from '@nestjs/common';
import { ApiNoContentResponse, ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { GatewayService } from '../../../gateways/gateway.service.js';
import type { Identity } from '../../../people/identity.js';
import { Allows, Who } from '../../access/allows.js';
import { GatewayListDto, GatewayWishDto, NewGatewayDto } from '../../dto.js';
import { parsed } from '../../parameters.js';

@ApiTags('registry')
@Controller('api/registry/sites/:site/gateways')
export class GatewayController {
  constructor(@Inject(GatewayService) private readonly gateways: GatewayService) {}

  @Get()
  @ZodResponse({
    status: 200,
    type: GatewayListDto,
    description: "A site's gateways: their keys, when they were let in, what they were refused",
  })
  list(@Param('site') site: string, @Who() who: Identity) {
    return this.gateways.ofSite(site, who);
  }

  @Post()
  @Allows('admit')
  @ZodResponse({ status: 201, type: NewGatewayDto, description: 'A new key with its password' })
  make(
    @Param('site') site: string,
    @Body(parsed(GatewayWishDto)) { name }: GatewayWishDto,
    @Who() who: Identity,
  ) {
    return this.gateways.make(who, site, name);
  }

  @Delete(':number')
  @Allows('admit')
  @HttpCode(204)
  @ApiNoContentResponse({ description: 'The key is not valid any more' })
  revoke(
    @Param('site') site: string,
    @Param('number', ParseIntPipe) number: number,
    @Who() who: Identity,
  ): Promise<void> {
    return this.gateways.revoke(who, site, number);
  }
}
