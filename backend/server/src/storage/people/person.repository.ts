import { Database, type Queryable } from '../index.js';

export interface StoredPerson {
  id: number;
  name: string;
  email: string | null;
  role: string;
  /** Keys of the sites that the person is limited to; null: all. */
  sites: string[] | null;
  passwordHash: string | null;
  invented: boolean;
  active: boolean;
  createdAt: Date;
  signedInAt: Date | null;
  /** A second factor is asked for at sign-in. */
  secondFactor: boolean;
  /** The role is one whose accounts must have one. */
  secondFactorNeeded: boolean;
}

export interface NewPerson {
  name: string;
  email: string | null;
  role: string;
  siteIds: readonly number[] | null;
  passwordHash: string | null;
  invented?: boolean;
}

export interface PersonChange {
  name: string;
  role: string;
  siteIds: readonly number[] | null;
  active: boolean;
}

/** Columns of a person `p` for `StoredPerson`. */
export const personColumns = `p.id, p.name, p.email, p.role, p.password_hash as "passwordHash", p.invented, p.active,
  p.created_at as "createdAt", p.signed_in_at as "signedInAt",
  exists (select from second_factor f where f.person_id = p.id and f.confirmed_at is not null) as "secondFactor",
  exists (select from second_factor_rule r where r.role = p.role) as "secondFactorNeeded",
  case when p.site_ids is null then null
       else array(select s.key from site s where s.id = any(p.site_ids) order by s.key) end as sites`;

/** Accounts. None is ever removed, as the log names them. */
export class PersonRepository {
  constructor(private readonly database: Database) {}

  /** Whether anybody but the demo's invented people has an account. */
  async anyAccount(): Promise<boolean> {
    const { rows } = await this.database.query<{ any: boolean }>(
      'select exists (select from person where not invented) as any',
    );
    return rows[0].any;
  }

  async byId(id: number, by: Queryable = this.database): Promise<StoredPerson | null> {
    const { rows } = await by.query<StoredPerson>(`select ${personColumns} from person p where p.id = $1`, [
      id,
    ]);
    return rows[0] ?? null;
  }

  async byEmail(email: string): Promise<StoredPerson | null> {
    const { rows } = await this.database.query<StoredPerson>(
      `select ${personColumns} from person p where p.email = $1`,
      [email],
    );
    return rows[0] ?? null;
  }

  async all(): Promise<StoredPerson[]> {
    const { rows } = await this.database.query<StoredPerson>(
      `select ${personColumns} from person p order by p.name, p.id`,
    );
    return rows;
  }

  async invented(): Promise<StoredPerson[]> {
    const { rows } = await this.database.query<StoredPerson>(
      `select ${personColumns} from person p where p.invented order by p.id`,
    );
    return rows;
  }

  async add(person: NewPerson, by: Queryable = this.database): Promise<number> {
    const { rows } = await by.query<{ id: number }>(
      `insert into person (name, email, role, site_ids, password_hash, invented)
       values ($1, $2, $3, $4, $5, $6) returning id`,
      [person.name, person.email, person.role, person.siteIds, person.passwordHash, person.invented ?? false],
    );
    return rows[0].id;
  }

  /** Adds those invented people who are not there yet. */
  async addInvented(people: readonly { name: string; role: string }[]): Promise<void> {
    await this.database.query(
      `insert into person (name, role, invented)
       select name, role, true from unnest($1::text[], $2::text[]) with ordinality as added(name, role, n)
        where not exists (select from person p where p.invented and p.name = added.name) order by n`,
      [people.map(({ name }) => name), people.map(({ role }) => role)],
    );
  }

  async change(id: number, change: PersonChange, by: Queryable): Promise<void> {
    await by.query('update person set name = $2, role = $3, site_ids = $4, active = $5 where id = $1', [
      id,
      change.name,
      change.role,
      change.siteIds,
      change.active,
    ]);
  }

  async setPassword(id: number, passwordHash: string, by: Queryable): Promise<void> {
    await by.query('update person set password_hash = $2 where id = $1', [id, passwordHash]);
  }

  async setRole(id: number, role: string, by: Queryable): Promise<void> {
    await by.query('update person set role = $2 where id = $1', [id, role]);
  }

  /** How many others can administer; locked, so that two administrators cannot take it from each other at once. */
  async otherAdministrators(id: number, by: Queryable): Promise<number> {
    const { rows } = await by.query(
      `select id from person where role = 'administrator' and active and not invented and id <> $1 for update`,
      [id],
    );
    return rows.length;
  }

  /** Ids of the sites with these keys; those not known are left out. */
  async siteIds(keys: readonly string[]): Promise<{ id: number; key: string }[]> {
    const { rows } = await this.database.query<{ id: number; key: string }>(
      'select id, key from site where key = any($1::text[]) order by id',
      [keys],
    );
    return rows;
  }

  /** Key of the site of a finding or diagnosis; null: there is none of that number. */
  async siteOf(table: 'finding' | 'diagnosis', id: string): Promise<string | null> {
    if (!/^\d{1,18}$/.test(id)) return null;
    const { rows } = await this.database.query<{ key: string }>(
      `select s.key from ${table} f join unit u on u.id = f.unit_id join site s on s.id = u.site_id where f.id = $1`,
      [id],
    );
    return rows[0]?.key ?? null;
  }
}
