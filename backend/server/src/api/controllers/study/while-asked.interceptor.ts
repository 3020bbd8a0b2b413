import type { CallHandler, ExecutionContext, NestInterceptor } from '@nestjs/common';
import type { Response } from 'express';
import { Observable } from 'rxjs';
import { whileAsked } from '../../../study/thread/while-asked.js';

/** A question is worked out for as long as somebody waits for its answer. */
export class WhileAsked implements NestInterceptor {
  intercept(context: ExecutionContext, next: CallHandler): Observable<unknown> {
    const response = context.switchToHttp().getResponse<Response>();
    const leaves = new AbortController();
    response.once('close', () => leaves.abort());
    return new Observable((subscriber) =>
      whileAsked(leaves.signal, () => next.handle().subscribe(subscriber)),
    );
  }
}
