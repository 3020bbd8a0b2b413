import { Module } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import { DocumentBuilder, SwaggerModule, type OpenAPIObject } from '@nestjs/swagger';
import { cleanupOpenApiDoc } from 'nestjs-zod';
import { z } from 'zod';
import { controllers } from './controllers/index.js';
import * as dtos from './dto.js';
import { answeringServices } from './answering-services.js';

/** Nobody answers here: the services are named only so that the controllers can be described. */
const providers = answeringServices.map((service) => ({ provide: service, useValue: null }));

@Module({ controllers, providers })
class DescribedModule {}

const prefix = '#/components/schemas/';

/** Every schema that has a name, as JSON Schema, referring to each other by name. */
function namedSchemas(): Record<string, object> {
  const { schemas } = z.toJSONSchema(z.globalRegistry, { uri: (id) => `${prefix}${id}`, io: 'output' });
  return Object.fromEntries(
    Object.entries(schemas).map(([id, { $schema: _schema, $id: _id, id: _name, ...schema }]) => [id, schema]),
  );
}

/** What Nest calls an answer's class, against the name of the schema that the class was made from. */
function schemaNames(): Map<string, string> {
  const names = new Map<string, string>();
  for (const [className, dto] of Object.entries(dtos)) {
    const id = z.globalRegistry.get(dto.schema as z.ZodType)?.id;
    if (id === undefined) continue;
    names.set(className, id);
    names.set(`${className}_Output`, id);
  }
  return names;
}

/** Points references at the schemas' own names; drops the long patterns that say no more than `date-time` does. */
function tidied(node: unknown, names: Map<string, string>): unknown {
  if (Array.isArray(node)) return node.map((item) => tidied(item, names));
  if (typeof node !== 'object' || node === null) return node;
  const entries = Object.entries(node);
  const isInstant = 'format' in node && typeof node.format === 'string' && node.format.startsWith('date');
  return Object.fromEntries(
    entries
      .filter(([key]) => !(isInstant && key === 'pattern'))
      .map(([key, value]) => {
        if (key === '$ref' && typeof value === 'string' && value.startsWith(prefix)) {
          const name = value.slice(prefix.length);
          return [key, `${prefix}${names.get(name) ?? name}`];
        }
        return [key, tidied(value, names)];
      }),
  );
}

const problem = {
  description: 'Problem details to RFC 9457',
  content: { 'application/problem+json': { schema: { $ref: `${prefix}Problem` } } },
};

/** The OpenAPI 3.1 document of the HTTP interface, made from the controllers and their schemas; starts nothing. */
export async function openApiDocument(): Promise<OpenAPIObject> {
  const app = await NestFactory.create(DescribedModule, {
    preview: true,
    logger: false,
    abortOnError: false,
  });
  const description = new DocumentBuilder()
    .setTitle('Coldrounds')
    .setDescription(
      'Ranked rounds of chillers from telemetry. Read only. All values are in SI units, with the unit in the name. ' +
        'Records have ISO instants; series are columns with `time_s` in seconds since the epoch. ' +
        'Errors are problem details to RFC 9457.',
    )
    .setVersion('1')
    .setOpenAPIVersion('3.1.0')
    .build();
  const raw = SwaggerModule.createDocument(app, description, {
    operationIdFactory: (controller, method) =>
      `${controller.replace('Controller', '').toLowerCase()}_${method}`,
  });
  await app.close();
  // The components come straight from the schemas; Nest's own copies of them are dropped.
  const cleaned = cleanupOpenApiDoc({ ...raw, components: {} });
  const document = tidied(
    { ...cleaned, components: { schemas: namedSchemas() } },
    schemaNames(),
  ) as OpenAPIObject;
  for (const path of Object.values(document.paths))
    for (const operation of Object.values(path) as { responses: Record<string, unknown> }[])
      operation.responses['default'] = problem;
  return document;
}
