# One image for the web server and the worker.
FROM python:3.12.11-slim-bookworm

ENV PYTHONDONTWRITEBYTECODE=1 PYTHONUNBUFFERED=1 PIP_NO_CACHE_DIR=1
WORKDIR /srv/laneproof

COPY requirements.txt .
RUN pip install --require-hashes --no-deps -r requirements.txt

COPY manage.py pyproject.toml LICENSE ./
COPY fits fits
COPY playbook playbook
COPY templates templates
COPY static static
# Bytecode is made here, once: a process would compile everything anew at each start.
RUN python -m compileall -q fits playbook

# Collecting static files needs settings but no database: the address is never opened.
RUN SECRET_KEY=build DATABASE_URL=postgresql://nobody@localhost/nothing python manage.py collectstatic --noinput \
    && useradd --system --uid 10001 laneproof \
    && install -d -o 10001 -m 700 /backups
USER 10001
EXPOSE 8000
CMD ["gunicorn", "playbook.wsgi", "--bind", "0.0.0.0:8000", "--workers", "2", "--access-logfile", "-"]
