import {
  Inject,
  Injectable,
  type CallHandler,
  type ExecutionContext,
  type NestInterceptor,
} from '@nestjs/common';
import type { Request, Response } from 'express';
import { EMPTY, type Observable } from 'rxjs';
import { RoundService } from '../pages/round/round.service.js';

/** Marks pages of the round of now with its version, and answers 304 before any page is made where it is the reader's. */
@Injectable()
export class RoundTag implements NestInterceptor {
  constructor(@Inject(RoundService) private readonly rounds: RoundService) {}

  async intercept(context: ExecutionContext, next: CallHandler): Promise<Observable<unknown>> {
    const http = context.switchToHttp();
    const request = http.getRequest<Request>();
    const response = http.getResponse<Response>();
    if (request.query.at !== undefined) return next.handle();
    response.setHeader('ETag', `W/"${await this.rounds.version()}"`);
    if (!request.fresh) return next.handle();
    response.status(304);
    return EMPTY;
  }
}
