/** A finding or a diagnosis with its life in the store. */
export interface Stored<Document> {
  id: string;
  unitId: number;
  document: Document;
  openedAt: Date;
  updatedAt: Date;
  endedAt: Date | null;
}

export interface StoredRow<Document> {
  id: string | number;
  unit_id: number;
  document: Document;
  opened_at: Date;
  updated_at: Date;
  ended_at: Date | null;
}

export const storedColumns = 'id, unit_id, document, opened_at, updated_at, ended_at';

export const stored = <Document>(row: StoredRow<Document>): Stored<Document> => ({
  id: String(row.id),
  unitId: row.unit_id,
  document: row.document,
  openedAt: row.opened_at,
  updatedAt: row.updated_at,
  endedAt: row.ended_at,
});
