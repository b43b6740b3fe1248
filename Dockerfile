# One image for web, worker and beat; docker-compose.yml chooses the command.
FROM python:3.11-slim

ENV PYTHONUNBUFFERED=1 \
    PYTHONDONTWRITEBYTECODE=1 \
    PIP_NO_CACHE_DIR=1 \
    PIP_DISABLE_PIP_VERSION_CHECK=1 \
    DJANGO_SETTINGS_MODULE=roofops.settings \
    ROOFOPS_DATA=/data

RUN useradd --create-home --uid 10001 roofops && install -d -o roofops -g roofops /data
WORKDIR /srv/roofops

# Before the code, so that a change of the code does not install everything again.
COPY requirements.txt .
RUN pip install -r requirements.txt

COPY . .

USER roofops
VOLUME ["/data"]
EXPOSE 8000

HEALTHCHECK --interval=15s --timeout=5s --start-period=30s \
    CMD ["python", "-c", "import urllib.request as r; r.urlopen('http://127.0.0.1:8000/healthz', timeout=4)"]

CMD ["gunicorn", "roofops.wsgi:application", "--bind", "0.0.0.0:8000", "--workers", "2", "--worker-class", "gthread", \
     "--threads", "6", "--timeout", "60", "--graceful-timeout", "20", "--no-control-socket"]
