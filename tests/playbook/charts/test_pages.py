"""The pages of charts and words."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from playbook.charts import services as charts
from playbook.models import Alias, Chart, ChartState, Concept, Formation
from tests.playbook.charts.conftest import as_bytes
from tests.playbook.charts.made import HEADER, season


def send(client, opponent, data, name="chart.csv", **more):
    file = SimpleUploadedFile(name, data)
    return client.post(reverse("charts:opponent", args=[opponent.pk]), {"file": file, **more})


def test_from_the_upload_to_the_tendencies(as_staff, opponent):
    answer = send(as_staff, opponent, as_bytes(season(300)))
    chart = Chart.objects.get()
    assert answer.status_code == 303
    assert answer["Location"] == reverse("charts:mapping", args=[chart.pk])

    page = as_staff.get(answer["Location"]).content.decode()
    assert "Trips Rt" in page
    form = {"version": chart.version, "yard_style": chart.yard_style}
    chosen = {header: column for column, header in chart.mapping.items()}
    form |= {f"header-{number}": chosen.get(header, "") for number, header in enumerate(HEADER)}
    answer = as_staff.post(reverse("charts:mapping", args=[chart.pk]), form)
    assert answer["Location"] == reverse("charts:chart", args=[chart.pk])

    page = as_staff.get(answer["Location"]).content.decode()
    assert "<progress" in page
    charts.read_chart(chart.pk)
    page = as_staff.get(answer["Location"]).content.decode()
    assert "<strong>300</strong> snaps taken" in page
    assert "<progress" not in page

    page = as_staff.get(reverse("tendencies:opponent", args=[opponent.pk])).content.decode()
    assert "Strongest tells" in page
    assert "runs away" in page
    assert page.count("<svg") == 2, "no hole is charted, so nothing is drawn of holes"
    assert "Run and pass by down and distance</figcaption><svg" in page
    assert "Run and pass by field zone</figcaption><svg" in page
    assert "1st &amp; 10" in page


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\x89PNG\r\n\x1a\n123", "a picture"),
        (b"", "is empty"),
        (b"Dn,Play,dn\n1,x,2\n", "stands twice"),
        (b"PK\x03\x04 no workbook", "damaged or cut off"),
    ],
)
def test_a_bad_file_is_told_on_the_page_and_nothing_is_kept(as_staff, opponent, data, said):
    answer = send(as_staff, opponent, data)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert said in page
    assert "Nothing was taken" in page
    assert not Chart.objects.exists()


def test_the_same_file_again_needs_a_word(as_staff, opponent):
    data = as_bytes(season(20))
    send(as_staff, opponent, data)
    answer = send(as_staff, opponent, data)
    assert answer.status_code == 422
    assert "already there" in answer.content.decode()
    assert send(as_staff, opponent, data, again="on").status_code == 303
    assert Chart.objects.count() == 2


def test_one_column_for_two_headers_is_refused(as_staff, upload):
    chart = upload()
    form = {"version": chart.version, "header-0": "down", "header-1": "down", "header-7": "formation"}
    answer = as_staff.post(reverse("charts:mapping", args=[chart.pk]), form)
    assert answer.status_code == 422
    assert "Choose one of the two" in answer.content.decode()
    chart.refresh_from_db()
    assert chart.state == ChartState.UPLOADED


def test_a_mapping_that_somebody_else_settled_is_a_conflict(as_staff, upload):
    chart = upload()
    Chart.objects.filter(pk=chart.pk).update(version=chart.version + 1)
    answer = as_staff.post(
        reverse("charts:mapping", args=[chart.pk]), {"version": chart.version, "header-7": "formation"}
    )
    assert answer.status_code == 409


def test_refused_rows_are_listed_and_downloaded_without_live_formulas(as_staff, read):
    rows = season(30)
    rows[4][2], rows[4][11] = "nine", "=HYPERLINK(1)"
    chart = read(rows)
    page = as_staff.get(reverse("charts:chart", args=[chart.pk])).content.decode()
    assert "expected a down from 1 to 4, got “nine”" in page
    answer = as_staff.get(reverse("charts:refused", args=[chart.pk]))
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    assert text.splitlines()[0].startswith("line,reason,Qtr")
    assert ",'=HYPERLINK(1)," in text
    assert ",=HYPERLINK" not in text


def test_the_progress_is_a_partial_for_htmx(as_staff, upload):
    chart = upload()
    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
    answer = as_staff.get(reverse("charts:chart", args=[chart.pk]), headers={"HX-Request": "true"})
    page = answer.content.decode()
    assert page.lstrip().startswith('<div id="chart"')
    assert "<html" not in page
    assert "HX-Request" in answer["Vary"]


def test_a_chart_left_out_counts_no_more(as_staff, read, opponent):
    chart = read(season(40))
    as_staff.post(reverse("charts:count", args=[chart.pk]), {"counts": "no"})
    page = as_staff.get(reverse("tendencies:opponent", args=[opponent.pk])).content.decode()
    assert "Nothing to count" in page
    as_staff.post(reverse("charts:count", args=[chart.pk]), {"counts": "yes"})
    assert "All together" in as_staff.get(reverse("tendencies:opponent", args=[opponent.pk])).content.decode()


def test_deleting_asks_first(as_staff, read):
    chart = read(season(10))
    assert "Delete" in as_staff.get(reverse("charts:delete", args=[chart.pk])).content.decode()
    assert Chart.objects.exists()
    as_staff.post(reverse("charts:delete", args=[chart.pk]))
    assert not Chart.objects.exists()


def test_words_are_offered_saved_and_used(as_staff, read, opponent):
    read(season(60))
    address = reverse("charts:words", args=[opponent.pk])
    page = as_staff.get(address).content.decode()
    assert "Trips" in page
    assert "likely, not saved" in page
    assert f"{reverse('opponent:add-formation')}?opponent={opponent.pk}&amp;word=" in page, "drawn where it was met"
    assert f"{reverse('opponent:add-concept')}?opponent={opponent.pk}&amp;word=" in page
    assert not Alias.objects.exists()
    answer = as_staff.post(address, {"formation:trips": "11-trips", "concept:iz": "inside-zone"})
    assert answer.status_code == 303
    assert Alias.objects.get(kind="formation").formation == Formation.objects.get(name="11-trips", opponent=None)
    assert Alias.objects.get(kind="concept").concept == Concept.objects.get(name="inside-zone", opponent=None)
    page = as_staff.get(reverse("tendencies:report", args=[opponent.pk, "formation"])).content.decode()
    assert "Trips, flexed end" in page and "11-trips" not in page
    as_staff.post(address, {"formation:trips": "", "concept:iz": "inside-zone"})
    assert Alias.objects.count() == 1


def test_a_meaning_we_do_not_have_is_refused(as_staff, read, opponent):
    read(season(60))
    sent = {"formation:trips": "no-such-thing", "concept:iz": "inside-zone"}
    answer = as_staff.post(reverse("charts:words", args=[opponent.pk]), sent)
    assert answer.status_code == 422
    assert "Nothing was changed" in answer.content.decode()
    assert not Alias.objects.exists()


def test_the_list_opens_without_any_data(as_staff):
    assert as_staff.get(reverse("charts:start")).status_code == 200
