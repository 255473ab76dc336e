"""The pages without a browser: opening, recording, settling, erasing; nothing typed is lost."""

from __future__ import annotations

import gzip
import html
import io
import json
import re
from dataclasses import replace
from typing import Any

import pytest
from django.test import Client
from PIL import Image

from casewright.drive.load import load
from casewright.job import kinds
from casewright.job.entry import Entry
from casewright.job.fold import fold
from casewright.shop import photos
from casewright.shop.models import Owner, Photo
from casewright.shop.store import DatabaseStore
from tests.phases.cast import MOMENT, log_of, opening

pytestmark = pytest.mark.django_db


def post(client: Client, job: str, **fields: Any) -> Any:
    return client.post(f"/job/{job}/record/", {"room": "takein", "id": "client-id-1", **fields})


def test_a_job_is_opened_and_the_owner_stays_outside_its_log(client: Client) -> None:
    answer = client.post(
        "/open/",
        {"title": "Pump 2", "sheet": "winkle-3", "owner_name": "N. Whelk", "scope": "reseal"},
    )
    assert answer.status_code == 302
    (job,) = DatabaseStore().jobs()
    text = client.get(f"/job/{job}/log.jsonl").content.decode()
    assert "Whelk" not in text
    row = Owner.objects.get()
    assert row.key in text
    client.post(f"/owner/{row.key}/", {"erase": "yes"})
    assert Owner.objects.get().name == ""
    assert client.get(f"/job/{job}/log.jsonl").content.decode() == text


def test_opening_says_all_that_is_missing_and_keeps_what_was_typed(client: Client) -> None:
    answer = client.post("/open/", {"title": "", "sheet": "", "duty": "oyster boat"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "oyster boat" in page
    assert page.count('class="wrong"') >= 2


def test_a_form_makes_one_entry_however_often_it_is_sent(client: Client, job: str) -> None:
    for _ in range(3):
        assert post(client, job, kind="complaint", words="hums").status_code == 302
    assert len(DatabaseStore().read(job).entries) == 3


def test_several_readings_go_in_at_once_with_their_unit_and_time(client: Client, job: str) -> None:
    post(
        client,
        job,
        kind="reading",
        fixed='{"target": "ahead-lash", "occasion": "as-found"}',
        values=["0.41", "0.44", "", "0.43"],
        unit="mm",
        happened_at="2026-03-03T16:10",
        by="CD",
    )
    entry = DatabaseStore().read(job).entries[-1].entry
    assert entry.body["values"] == ["0.41", "0.44", "0.43"]
    assert entry.body["unit"] == "mm"
    assert (entry.who, entry.happened_at[:16]) == ("CD", "2026-03-03T16:10")


def test_a_wrong_reading_is_said_beside_its_field_and_stays_typed(client: Client, job: str) -> None:
    answer = post(
        client,
        job,
        kind="reading",
        fixed='{"target": "ahead-lash", "occasion": "as-received"}',
        values=["0.41 N"],
    )
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "unit of force" in page
    assert 'value="0.41 N"' in page
    assert len(DatabaseStore().read(job).entries) == 2


@pytest.mark.parametrize("fields", [{"kind": "hologram"}, {"kind": "complaint", "fixed": "{"}, {}])
def test_a_form_that_no_page_made_is_refused_without_a_crash(
    client: Client, job: str, fields: dict[str, str]
) -> None:
    assert post(client, job, **fields).status_code == 422
    assert len(DatabaseStore().read(job).entries) == 2


def test_two_browsers_writing_one_job_lose_nothing_and_conflicts_are_shown(
    client: Client, job: str
) -> None:
    for who, passed in (("AB", "true"), ("CD", "false")):
        client.post(
            f"/job/{job}/record/",
            {
                "room": "proof", "kind": "function-tested", "id": f"client-{who}-1", "seen": "2",
                "test": "pump-flow", "passed": passed, "by": who,
            },
        )  # fmt: skip
    assert len(DatabaseStore().read(job).entries) == 4
    page = client.get(f"/job/{job}/log/").content.decode()
    assert "Keep what AB said" in page
    assert "Keep what CD said" in page
    settled = client.post(
        f"/job/{job}/record/",
        {
            "room": "log", "kind": "settled", "id": "settle-id-1", "reason": "CD looked again",
            "fixed": '{"keep": "client-CD-1", "drop": ["client-AB-1"]}',
        },
    )  # fmt: skip
    assert settled.status_code == 302
    assert "Keep what AB said" not in client.get(f"/job/{job}/log/").content.decode()


def test_an_entry_is_taken_back_by_another_and_stays_in_the_log(client: Client, job: str) -> None:
    post(client, job, kind="complaint", words="hums")
    post(client, job, kind="withdrawn", id="client-id-2", entry="client-id-1", reason="other boat")
    page = client.get(f"/job/{job}/log/").content.decode()
    assert "taken back by 4" in page


def test_a_log_goes_out_and_comes_in_with_the_same_hash(client: Client, job: str) -> None:
    content = client.get(f"/job/{job}/log.jsonl").content
    upload = io.BytesIO(content)
    upload.name = "copy.jsonl"
    assert client.post("/bring-in/", {"log": upload}).status_code == 302
    assert client.get("/job/copy/log.jsonl").content == content


@pytest.mark.parametrize("content", [b"\xff\xfe", b"not a log\n", b""])
def test_a_file_that_is_no_log_is_refused_in_words(client: Client, content: bytes) -> None:
    upload = io.BytesIO(content)
    upload.name = "x.jsonl"
    assert client.post("/bring-in/", {"log": upload}).status_code in (302, 422)


def test_unknown_jobs_rooms_and_papers_are_not_found(client: Client, job: str) -> None:
    for path in ("/job/none/", f"/job/{job}/cellar/", f"/job/{job}/paper/x.pdf", "/owner/none/"):
        assert client.get(path).status_code == 404


def picture(kind: str = "JPEG", size: tuple[int, int] = (3000, 1000)) -> bytes:
    out = io.BytesIO()
    exif = Image.Exif()
    exif[0x0112] = 6  # turned by the camera
    exif[0x8825] = {1: "N", 2: (54.0, 1.0, 2.0)}  # a place
    Image.new("RGB", size, "grey").save(out, kind, exif=exif)
    return out.getvalue()


def test_a_photograph_is_turned_resized_and_loses_its_place(client: Client, job: str) -> None:
    upload = io.BytesIO(picture())
    upload.name = "cup.jpg"
    answer = client.post(
        f"/job/{job}/photo/", {"photo": upload, "about": "spun cup", "room": "inspect"}
    )
    assert answer.status_code == 302
    kept = Photo.objects.get()
    assert (kept.width, kept.height) == (533, 1600)
    with Image.open(io.BytesIO(bytes(kept.content))) as image:
        assert not image.getexif()
    entry = DatabaseStore().read(job).entries[-1].entry
    assert entry.body["digest"] == kept.digest
    assert client.get(f"/job/{job}/photo/{kept.digest}/").status_code == 200


@pytest.mark.parametrize(
    "data",
    [b"", b"<svg onload=alert(1)>", b"GIF89a" + b"\0" * 50, picture()[:200], b"%PDF-1.7"],
    ids=["empty", "svg", "gif", "torn", "pdf"],
)
def test_a_hostile_or_torn_file_is_refused_in_words(client: Client, job: str, data: bytes) -> None:
    upload = io.BytesIO(data)
    upload.name = "x.jpg"
    answer = client.post(f"/job/{job}/photo/", {"photo": upload, "room": "inspect"})
    assert answer.status_code == 422
    assert Photo.objects.count() == 0


def test_the_same_picture_twice_is_kept_once() -> None:
    assert photos.keep(picture()).digest == photos.keep(picture()).digest
    assert Photo.objects.count() == 1


def test_headers_let_nothing_foreign_in(client: Client, job: str) -> None:
    answer = client.get(f"/job/{job}/")
    assert "default-src 'self'" in answer["Content-Security-Policy"]
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["Cache-Control"] == "no-store"


def test_a_sheet_is_checked_with_every_mistake_and_kept_when_right(client: Client) -> None:
    wrong = client.post("/sheets/", {"text": '[sheet]\nsheet_version = 1\nkey = "a b"\n'})
    assert wrong.content.decode().count("hatch-bad") == 2
    right = '[sheet]\nsheet_version = 1\nkey = "own-box"\nname = "Own box"\n'
    assert (
        "Kept: Own box" in client.post("/sheets/", {"text": right, "keep": "yes"}).content.decode()
    )
    assert "own-box" in client.get("/").content.decode()


def test_words_from_a_log_are_never_markup(client: Client, job: str) -> None:
    entry = Entry("evil-entry-1", "complaint", {"words": "<script>alert(1)</script>"}, "AB", MOMENT)
    DatabaseStore().append(job, entry)
    for path in ("takein/", "log/", "", "book.html"):
        assert "<script>alert" not in client.get(f"/job/{job}/{path}").content.decode()


def test_a_sheet_that_changed_since_is_said_and_the_job_keeps_its_own(client: Client) -> None:
    old = opening()
    text = old[1].text.replace("size 3", "size 3 revised")  # type: ignore[attr-defined]
    loaded = load(text)
    adopted = kinds.SheetAdopted(name="winkle-3", text=text, digest=loaded.digest)
    for made in log_of([old[0], adopted]):
        DatabaseStore().append("job-1", made.entry)
    page = client.get("/job/job-1/takein/").content.decode()
    assert "was changed after this job adopted it" in page
    assert "size 3 revised" in client.get("/job/job-1/book.html").content.decode()


def fixed_of(text: str, kind: str) -> list[dict[str, object]]:
    """The fixed parts of every form of a kind on a page."""
    form = rf'name="kind" value="{kind}">\s*<input[^>]*name="fixed" value="([^"]*)"'
    found = re.findall(form, text)
    return [json.loads(html.unescape(one)) for one in found]


def test_forms_of_a_piece_are_fetched_when_asked_for(client: Client, job: str) -> None:
    address = f"/job/{job}/inspect/"
    plain = client.get(address).content.decode()
    assert "?open=judge-lower.prop.shaft#judge-lower.prop.shaft" in plain
    asked = client.get(address, {"open": "judge-lower.prop.shaft"}).content.decode()
    here = {"table": "features", "position": "lower.prop.shaft"}
    added = [one for one in fixed_of(asked, "sheet-added") if one.get("table") == here["table"]]
    assert {str(one["item"]["position"]) for one in added} == {here["position"]}  # type: ignore[index]
    assert len(asked) > len(plain)
    assert not fixed_of(plain, "sheet-added")


def test_a_form_that_was_fetched_is_shown_again_with_its_mistake(client: Client, job: str) -> None:
    address = f"/job/{job}/inspect/"
    asked = client.get(address, {"open": "judge-lower.prop.shaft"}).content.decode()
    fixed = next(one for one in fixed_of(asked, "sheet-added") if "name" not in one["item"])  # type: ignore[operator]
    posted = {
        "kind": "sheet-added", "fixed": json.dumps(fixed), "room": "inspect", "id": "client-id-x1",
        "item.name": "spline, wear", "item.kind": "wear", "item.high": "a little", "by": "AB",
    }  # fmt: skip
    answer = client.post(f"/job/{job}/record/", posted)
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "spline, wear" in text
    assert "a number with its unit" in text
    posted["item.high"], posted["id"] = "0.3 mm", "client-id-x2"
    assert client.post(f"/job/{job}/record/", posted).status_code == 302
    assert "spline, wear" in client.get(address).content.decode()


def test_a_photograph_comes_first_and_is_explained_later(client: Client, job: str) -> None:
    upload = io.BytesIO(picture())
    upload.name = "cup.jpg"
    client.post(f"/job/{job}/photo/", {"photo": upload, "room": "inspect", "by": "AB"})
    (entry,) = [e for e in DatabaseStore().read(job).entries if e.entry.kind == "photo"]
    key = f"photo-{entry.entry.id}"
    text = client.get(f"/job/{job}/inspect/", {"open": key}).content.decode()
    (fixed,) = fixed_of(text, "photo")
    posted = {
        "kind": "photo", "fixed": json.dumps(fixed), "room": "inspect", "id": "client-id-x3", "by": "AB",
        "about": "the cup spun", "damage": "",
    }  # fmt: skip
    assert client.post(f"/job/{job}/record/", posted).status_code == 302
    (photo,) = fold(DatabaseStore().read(job).entries).photos
    assert (photo.body.about, photo.body.digest) == ("the cup spun", entry.entry.body["digest"])
    assert "the cup spun" in client.get(f"/job/{job}/inspect/").content.decode()


def test_an_earlier_job_on_the_leg_lends_its_readings_once(client: Client, job: str) -> None:
    store = DatabaseStore()
    log = store.read(job)
    then = "2020-01-01T10:00:00+00:00"
    for number, entry in enumerate(log.entries[:2]):
        store.append("long-ago", replace(entry.entry, id=f"old-entry-{number}", happened_at=then))
    body = {"target": "prop-shaft-groove", "values": ["0.01 mm"], "hours": "300 h"}
    store.append("long-ago", Entry("old-reading", "reading", body, "MH", then))
    assert "long-ago" in client.get(f"/job/{job}/inspect/").content.decode()
    for _ in range(2):
        sent = client.post(f"/job/{job}/earlier/", {"from": "long-ago", "by": "AB"})
        assert sent.status_code == 302
    kept = [r for r in fold(store.read(job).entries).readings if "long-ago" in r.body.words]
    assert [one.body.hours for one in kept] == ["300 h"]
    nothing = client.post(f"/job/{job}/earlier/", {"from": "no such job", "by": "AB"})
    assert nothing.status_code == 422


def test_an_id_that_no_log_can_hold_is_refused_and_the_job_stays_readable(
    client: Client, job: str
) -> None:
    posted = {"kind": "note", "room": "inspect", "id": "x", "by": "AB", "words": "hello"}
    assert client.post(f"/job/{job}/record/", posted).status_code == 422
    assert client.get(f"/job/{job}/inspect/").status_code == 200


def test_pages_are_packed_for_a_thin_connection_and_read_the_same(client: Client, job: str) -> None:
    plain = client.get(f"/job/{job}/setup/")
    packed = client.get(f"/job/{job}/setup/", headers={"accept-encoding": "gzip"})
    assert packed["Content-Encoding"] == "gzip" and "Accept-Encoding" in packed["Vary"]
    assert len(packed.content) < len(plain.content) / 4
    assert b"<h1>Set-up</h1>" in gzip.decompress(packed.content)


def test_an_empty_box_of_a_run_out_leaves_the_other_marks_where_they_are(
    client: Client, job: str
) -> None:
    shaft = "judge-lower.prop.shaft"
    page = client.get(f"/job/{job}/inspect/?open={shaft}").content.decode()
    marks = [html.unescape(mark) for mark in re.findall(r'name="place" value="([^"]+)"', page)]
    assert marks == [f"{45 * k}°" for k in range(8)]
    boxes = ["0.00", "0.02", "", "0.05", "", "", "", ""]
    fixed = json.dumps({"target": "prop-shaft-run-out"})
    answer = post(
        client, job, kind="reading", fixed=fixed, values=boxes, place=marks, unit="mm"
    )  # fmt: skip
    assert answer.status_code == 302
    (reading,) = fold(DatabaseStore().read(job).entries).readings
    assert reading.body.at == ("0°", "45°", "135°")
