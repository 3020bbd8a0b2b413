import {
  Inject,
  Injectable,
  type CallHandler,
  type ExecutionContext,
  type NestInterceptor,
} from '@nestjs/common';
import type { Response } from 'express';
import { of, type Observable } from 'rxjs';
import { hashOf } from '../people/sign-in/secrets.js';
import type { IdentifiedRequest } from './access/allows.js';
import { RoundService } from '../pages/round/round.service.js';

/** Marks pages of the round of now with its version, and answers 304 before any page is made where it is the reader's. */
@Injectable()
export class RoundTag implements NestInterceptor {
  constructor(@Inject(RoundService) private readonly rounds: RoundService) {}

  async intercept(context: ExecutionContext, next: CallHandler): Promise<Observable<unknown>> {
    const http = context.switchToHttp();
    const request = http.getRequest<IdentifiedRequest>();
    const response = http.getResponse<Response>();
    if (request.query.at !== undefined) return next.handle();
    const { sites = null } = request.identity ?? {};
    const whole = await this.rounds.version();
    response.setHeader(
      'ETag',
      `W/"${sites === null ? whole : `${whole}-${hashOf(sites.join('/')).toString('hex')}`}"`,
    );
    // With nothing to send and a tag that the reader has, Express answers 304.
    return request.fresh ? of(undefined) : next.handle();
  }
}
