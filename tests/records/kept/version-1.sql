PRAGMA application_id = 1314018137;
PRAGMA user_version = 1;
BEGIN TRANSACTION;
CREATE TABLE events (
        seq INTEGER PRIMARY KEY,
        "when" TEXT NOT NULL,
        what TEXT NOT NULL CHECK (what IN ('laid', 'found', 'identified', 'hatched', 'moulted', 'prepupated', 'pupated', 'emerged', 'checked', 'counted', 'moved', 'split', 'merged', 'renamed', 'died', 'released', 'escaped', 'given', 'missing', 'returned', 'sign', 'tested', 'cleaned', 'fed', 'cut', 'watered', 'stocked', 'temperature', 'setting', 'withdrawn', 'note')),
        cohort TEXT NOT NULL, mark TEXT NOT NULL, species TEXT NOT NULL,
        stage TEXT NOT NULL CHECK (stage IN ('', 'egg', 'larva', 'prepupa', 'pupa', 'adult')),
        instar INTEGER CHECK (instar > 0),
        count INTEGER CHECK (count >= 0),
        estimate INTEGER NOT NULL CHECK (estimate IN (0, 1)),
        enclosure TEXT NOT NULL, "to" TEXT NOT NULL, host TEXT NOT NULL, detail TEXT NOT NULL, note TEXT NOT NULL,
        id TEXT NOT NULL UNIQUE CHECK (id <> ''),
        withdraws TEXT REFERENCES events (id),
        "by" TEXT NOT NULL, place TEXT NOT NULL, latitude REAL, longitude REAL, parent TEXT NOT NULL, "group" TEXT NOT NULL,
        instant TEXT NOT NULL,
        written TEXT NOT NULL
    ) STRICT;
INSERT INTO "events" VALUES(1,'2031-05-01','setting','','','','',NULL,NULL,0,'','','','timezone=Europe/Paris','','zone',NULL,'','',NULL,NULL,'','','2031-04-30T22:00:00Z','2026-11-26T10:37:03Z');
INSERT INTO "events" VALUES(2,'2031-06-01T10:00','laid','A','','Pieris rapae','egg',NULL,12,0,'jar','','','','','laid-a',NULL,'Ada','',NULL,NULL,'','','2031-06-01T08:00:00Z','2026-11-26T10:37:03Z');
INSERT INTO "events" VALUES(3,'2031-06-01','found','B','','Vanessa atalanta','larva',2,4,0,'tub','','Urtica dioica','','höhle, "quoted"; it''s wet','found-b',NULL,'','the lane',51.25,-1.5,'','','2031-05-31T22:00:00Z','2026-11-26T10:37:03Z');
INSERT INTO "events" VALUES(4,'2031-06-04','hatched','A','','','',NULL,10,0,'jar','','','','','hatched-a',NULL,'','',NULL,NULL,'','','2031-06-03T22:00:00Z','2026-11-26T10:37:03Z');
INSERT INTO "events" VALUES(5,'2031-06-05','died','A','','','larva',NULL,1,0,'jar','','','drowned','','died-a',NULL,'','',NULL,NULL,'','','2031-06-04T22:00:00Z','2026-11-26T10:37:03Z');
INSERT INTO "events" VALUES(6,'2031-06-06','withdrawn','','','','',NULL,NULL,0,'','','','','','withdrawn-1','died-a','','',NULL,NULL,'','','2031-06-05T22:00:00Z','2026-11-26T10:37:03Z');
INSERT INTO "events" VALUES(7,'2031-06-06','counted','B','','','',NULL,5,1,'','','','','','counted-b',NULL,'','',NULL,NULL,'','','2031-06-05T22:00:00Z','2026-11-26T10:37:03Z');
CREATE TABLE heads (
        cohort TEXT NOT NULL, mark TEXT NOT NULL, stage TEXT NOT NULL, instar INTEGER NOT NULL, enclosure TEXT NOT NULL,
        count INTEGER NOT NULL CHECK (count > 0),
        PRIMARY KEY (cohort, mark, stage, instar, enclosure)
    ) STRICT, WITHOUT ROWID;
INSERT INTO "heads" VALUES('A','','egg',0,'jar',2);
INSERT INTO "heads" VALUES('A','','larva',1,'jar',10);
INSERT INTO "heads" VALUES('B','','larva',2,'tub',4);
CREATE TABLE readings (
        place TEXT NOT NULL,
        "when" TEXT NOT NULL,
        fold INTEGER NOT NULL,
        instant INTEGER NOT NULL,
        low REAL NOT NULL,
        high REAL NOT NULL,
        PRIMARY KEY (place, "when", fold)
    ) STRICT, WITHOUT ROWID;
INSERT INTO "readings" VALUES('jar','2031-06-01T00:00:00',0,1938031200,20.0,20.0);
INSERT INTO "readings" VALUES('jar','2031-06-01T01:00:00',0,1938034800,20.25,20.25);
INSERT INTO "readings" VALUES('jar','2031-06-01T02:00:00',0,1938038400,20.5,20.5);
INSERT INTO "readings" VALUES('jar','2031-06-01T03:00:00',0,1938042000,20.75,20.75);
INSERT INTO "readings" VALUES('jar','2031-06-01T04:00:00',0,1938045600,21.0,21.0);
INSERT INTO "readings" VALUES('jar','2031-06-01T05:00:00',0,1938049200,21.25,21.25);
INSERT INTO "readings" VALUES('tub','2031-06-01T00:00:00',0,1938031200,20.0,20.0);
INSERT INTO "readings" VALUES('tub','2031-06-01T01:00:00',0,1938034800,20.25,20.25);
INSERT INTO "readings" VALUES('tub','2031-06-01T02:00:00',0,1938038400,20.5,20.5);
INSERT INTO "readings" VALUES('tub','2031-06-01T03:00:00',0,1938042000,20.75,20.75);
INSERT INTO "readings" VALUES('tub','2031-06-01T04:00:00',0,1938045600,21.0,21.0);
INSERT INTO "readings" VALUES('tub','2031-06-01T05:00:00',0,1938049200,21.25,21.25);
CREATE TRIGGER events_never_change BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'events never change: withdraw it and add another'); END;
CREATE TRIGGER events_never_go BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'events never go: withdraw it'); END;
CREATE TRIGGER events_never_replaced BEFORE INSERT ON events WHEN EXISTS (SELECT 1 FROM events WHERE id = NEW.id OR seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'that event is known'); END;
CREATE TRIGGER readings_never_change BEFORE UPDATE ON readings BEGIN SELECT RAISE(ABORT, 'readings never change'); END;
CREATE TRIGGER readings_never_go BEFORE DELETE ON readings BEGIN SELECT RAISE(ABORT, 'readings never go'); END;
COMMIT;
