-- The hub of a school or a group: what each workshop has recorded, once, for good. PostgreSQL 15 or newer.
-- `saggar hub --setup` runs this as the database's owner. Benches read tables and call functions; nothing else is theirs.

do $$ begin create role saggar_hub_owner nologin; exception when duplicate_object then null; end $$;
do $$ begin create role saggar_hub_bench nologin; exception when duplicate_object then null; end $$;
grant saggar_hub_owner to current_user;
create schema saggar authorization saggar_hub_owner;
grant usage on schema saggar to saggar_hub_bench;
set role saggar_hub_owner;
set search_path = saggar;

create table made (version int not null);       -- of these tables; a bench compares it with the one that it knows
insert into made values (1);

-- One login a bench, so that a lost laptop is shut out alone.
create table workshop (id int generated always as identity primary key, name text not null unique);
create table bench (login name primary key, workshop int not null references workshop);

-- A shelf is one list that only grows. Every workshop has two: its own, and an open one that all workshops read.
create table shelf (
  id int generated always as identity primary key,
  workshop int not null references workshop,
  open boolean not null,
  last bigint not null default 0,               -- the newest record's position; the lock on this row makes the order
  unique (workshop, open)
);

create table record (
  shelf int not null references shelf,
  position bigint not null,                     -- 1, 2, 3 … without gaps, in the order of the commits
  device text collate "C" not null check (length(device) <= 64),
  seq bigint not null check (seq >= 0),
  body bytea not null check (length(body) between 2 and 4194304),   -- the very bytes: jsonb would rewrite 1e5
  digest bytea not null generated always as (substr(sha256(body), 1, 16)) stored,
  primary key (shelf, position)
);
create unique index record_digest on record (shelf, digest) include (device, seq);   -- repeats, and outlines

-- A photo stands in `photo` when it is whole and its sum was checked here; its pieces wait in `photo_part`.
-- The shelf is part of the key: else a stranger's question would tell who has which.
create table photo (
  shelf int not null references shelf,
  sha256 bytea not null check (length(sha256) = 32),
  ending text not null check (ending ~ '^[.][a-z0-9]{1,8}$'),
  data bytea not null check (length(data) between 1 and 67108864),
  primary key (shelf, sha256)
);
create table photo_part (
  shelf int not null references shelf,
  sha256 bytea not null check (length(sha256) = 32),
  start int not null check (start between 0 and 67108863),
  part bytea not null check (length(part) between 1 and 262144),
  primary key (shelf, sha256, start)
);
alter table photo alter column data set storage external;        -- packed already; and a piece is read without the rest
alter table photo_part alter column part set storage external;

-- Whose call this is: `session_user` stays the login inside the functions below, and under `set role`.
create function workshop_of_login() returns int stable security definer set search_path = saggar, pg_temp
language sql as $$ select workshop from bench where login = session_user $$;
create function own_shelf(opened boolean) returns int stable security definer set search_path = saggar, pg_temp
language sql as $$ select id from shelf where workshop = workshop_of_login() and open = opened $$;
create function own_shelves() returns setof int stable security definer set search_path = saggar, pg_temp
language sql as $$ select id from shelf where workshop = workshop_of_login() $$;

-- Forced on the owner too, so that not even a function below writes on another workshop's shelf.
alter table shelf enable row level security;      alter table shelf force row level security;
alter table record enable row level security;     alter table record force row level security;
alter table photo enable row level security;      alter table photo force row level security;
alter table photo_part enable row level security; alter table photo_part force row level security;
create policy see on shelf for select using (open or workshop = (select workshop_of_login()));
create policy made on shelf for insert to saggar_hub_owner with check (last = 0);
create policy counted on shelf for update using (workshop = (select workshop_of_login()));
create policy see on record for select using (shelf in (select id from shelf));       -- a shelf that is policed itself
create policy own on record for insert with check (shelf in (select own_shelves()));
create policy see on photo for select using (shelf in (select id from shelf));
create policy own on photo for insert with check (shelf in (select own_shelves()));
create policy own on photo_part using (shelf in (select own_shelves()));
create policy kept on shelf for select to saggar_hub_owner using (true);               -- who keeps the hub sees all of it
create policy kept on record for select to saggar_hub_owner using (true);
create policy kept on photo for select to saggar_hub_owner using (true);
grant select on made, workshop, shelf, record, photo, photo_part to saggar_hub_bench;

-- Nothing is changed or removed, by the owner neither. Only a superuser who turns triggers off gets past this.
create function refuse() returns trigger language plpgsql as
  $$ begin raise exception 'records are never changed or removed' using errcode = 'insufficient_privilege'; end $$;
create trigger kept before update or delete on record for each row execute function refuse();
create trigger kept before update or delete on photo for each row execute function refuse();
create trigger kept_whole before truncate on record execute function refuse();
create trigger kept_whole before truncate on photo execute function refuse();

-- Takes records in and answers how many were new. The lock makes the order of positions the order of commits, for this
-- workshop alone: who has seen position n never meets a smaller one later.
create function give(opened boolean, devices text[], seqs bigint[], bodies bytea[]) returns bigint
security definer set search_path = saggar, pg_temp language plpgsql as $$
declare mine int := own_shelf(opened); upto bigint; added bigint;
begin
  if mine is null then
    raise exception 'this login belongs to no workshop' using errcode = 'insufficient_privilege';
  end if;
  if cardinality(bodies) > 10000 then
    raise exception 'at most 10000 records at once' using errcode = 'program_limit_exceeded';
  end if;
  select last into upto from shelf where id = mine for update;
  with given as materialized (       -- under row security a digest worked out in the join would leave the index unused
    select min(n) as n, min(device) as device, min(seq) as seq, body, substr(sha256(body), 1, 16) as digest
    from unnest(devices, seqs, bodies) with ordinality as once (device, seq, body, n) group by body)
  insert into record (shelf, position, device, seq, body)
  select mine, upto + row_number() over (order by n), device, seq, body
  from given where not exists (select from record as r where r.shelf = mine and r.digest = given.digest);
  get diagnostics added = row_count;
  if added > 0 then
    update shelf set last = upto + added where id = mine;
  end if;
  return added;
end $$;

-- What a shelf holds: one fingerprint for 512 numbers of a device.
create function outline(of_shelf int) returns table (device text, run bigint, fingerprint bytea) stable
set search_path = saggar, pg_temp language sql as $$
  select device, seq / 512, substr(sha256(string_agg(digest, ''::bytea order by digest)), 1, 16)
  from record where shelf = of_shelf group by 1, 2 $$;

-- Takes a piece of a photo in and answers how many bytes lie here now, without a gap from the start. The last piece has
-- the whole checked: what is not as its sum says is dropped, and answered by -1, so that it is sent again.
create function give_photo(opened boolean, hash bytea, ends text, at int, whole int, piece bytea) returns int
security definer set search_path = saggar, pg_temp language plpgsql as $$
declare mine int := own_shelf(opened); put_together bytea;
begin
  perform from shelf where id = mine for update;
  if exists (select from photo where shelf = mine and sha256 = hash) then return whole; end if;
  delete from photo_part where shelf = mine and sha256 = hash and start >= at;
  if at <> coalesce((select sum(length(part)) from photo_part where shelf = mine and sha256 = hash), 0) then
    delete from photo_part where shelf = mine and sha256 = hash;
    return 0;
  end if;
  insert into photo_part (shelf, sha256, start, part) values (mine, hash, at, piece);
  if at + length(piece) < whole then return at + length(piece); end if;
  select string_agg(part, ''::bytea order by start) into put_together
    from photo_part where shelf = mine and sha256 = hash;
  delete from photo_part where shelf = mine and sha256 = hash;
  if sha256(put_together) <> hash then return -1; end if;
  insert into photo (shelf, sha256, ending, data) values (mine, hash, ends, put_together);
  return whole;
end $$;

-- Which life of the database this is: another one after each start, and after a copy or a dump was put back, for then
-- positions are given out again. To the microsecond, since two starts may fall into one second.
create function life() returns text stable set search_path = saggar, pg_temp language sql as
  $$ select concat_ws('.', 'record'::regclass::oid, extract(epoch from pg_postmaster_start_time())) $$;

revoke execute on all functions in schema saggar from public;
grant execute on function workshop_of_login, own_shelf, own_shelves, give, outline, give_photo, life to saggar_hub_bench;
reset role;

-- Lets a bench in, and shuts one out. For whoever keeps the hub; the password comes as the sum that is stored of it.
create function saggar.admit(workshop_name text, login name, password_sum text) returns void
set search_path = saggar, pg_temp language plpgsql as $$
declare w int;
begin
  insert into workshop (name) values (workshop_name) on conflict (name) do nothing;
  select id into w from workshop where name = workshop_name;
  execute format('create role %I login password %L connection limit 8 in role saggar_hub_bench', login, password_sum);
  execute format('alter role %I set statement_timeout = ''2min''', login);
  execute format('alter role %I set idle_in_transaction_session_timeout = ''1min''', login);
  insert into bench values (login, w);
  insert into shelf (workshop, open) values (w, false), (w, true) on conflict do nothing;
end $$;
create function saggar.shut_out(lost name) returns boolean set search_path = saggar, pg_temp language plpgsql as $$
begin
  if not exists (select from bench where login = lost) then return false; end if;
  execute format('alter role %I nologin password null', lost);
  begin
    perform pg_terminate_backend(pid) from pg_stat_activity where usename = lost;
  exception when insufficient_privilege then null;      -- it comes in no more, and its open calls end by themselves
  end;
  return true;
end $$;
revoke execute on function saggar.admit, saggar.shut_out from public;
